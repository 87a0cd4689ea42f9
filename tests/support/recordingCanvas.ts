/** A canvas context that notes what is drawn on it, and refuses coordinates that are no numbers. */

export interface DrawnText {
  readonly text: string;
  readonly x: number;
  readonly y: number;
}

export interface DrawnRect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly style: string;
}

export interface DrawnPath {
  readonly points: readonly (readonly [number, number])[];
  readonly style: string;
  readonly alpha: number;
  readonly dashed: boolean;
}

export interface RecordingCanvas {
  readonly context: CanvasRenderingContext2D;
  readonly texts: DrawnText[];
  readonly rects: DrawnRect[];
  readonly paths: DrawnPath[];
  /** Circles: centre and radius. */
  readonly rings: (readonly [number, number, number])[];
}

/** Letters are 6.6 pixels wide. */
const LETTER = 6.6;

export function recordingCanvas(): RecordingCanvas {
  const texts: DrawnText[] = [];
  const rects: DrawnRect[] = [];
  const paths: DrawnPath[] = [];
  const rings: (readonly [number, number, number])[] = [];
  let points: (readonly [number, number])[] = [];
  let dash: readonly number[] = [];
  const check = (...values: number[]): void => {
    for (const value of values) if (!Number.isFinite(value)) throw new Error(`a coordinate is ${value}`);
  };
  const own = {
    fillStyle: '',
    strokeStyle: '',
    globalAlpha: 1,
    beginPath: () => {
      points = [];
    },
    moveTo: (x: number, y: number) => {
      check(x, y);
      points.push([x, y]);
    },
    lineTo: (x: number, y: number) => {
      check(x, y);
      points.push([x, y]);
    },
    rect: check,
    clearRect: check,
    arc: (x: number, y: number, radius: number) => {
      check(x, y, radius);
      rings.push([x, y, radius]);
    },
    stroke: () => {
      paths.push({ points, style: String(own.strokeStyle), alpha: own.globalAlpha, dashed: dash.length > 0 });
    },
    setLineDash: (next: readonly number[]) => {
      dash = next;
    },
    fillRect: (x: number, y: number, width: number, height: number) => {
      check(x, y, width, height);
      rects.push({ x, y, width, height, style: String(own.fillStyle) });
    },
    fillText: (text: string, x: number, y: number) => {
      check(x, y);
      texts.push({ text, x, y });
    },
    measureText: (text: string) => ({ width: text.length * LETTER }),
    drawImage: (_image: unknown, ...place: number[]) => check(...place),
  };
  const context = new Proxy(own, {
    get: (target, key) => (key in target ? target[key as keyof typeof target] : () => undefined),
    set: (target, key, value) => Reflect.set(target, key, value),
  }) as unknown as CanvasRenderingContext2D;
  return { context, texts, rects, paths, rings };
}
