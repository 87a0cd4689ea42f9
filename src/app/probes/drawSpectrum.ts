/** Spectra of the probes over one another: decibels re 1 V against frequency, fft.js with a Blackman-Harris window. */
import { type Analyser, createAnalyser, toDecibels } from '../../measure/spectrum.ts';
import type { Drawing } from './drawing.ts';
import { AXIS } from './drawParts.ts';
import { place } from './scales.ts';

const SIZE = 16384;
const LEAST_HZ = 20;
const MOST_HZ = 20000;
const TOP_DB = 20;
const BOTTOM_DB = -100;
const dashes: readonly (readonly number[])[] = [[], [6, 3], [2, 2], [8, 3, 2, 3], [1, 3]];

let analyser: Analyser | undefined;

const hzText = (hz: number): string => (hz >= 1000 ? `${Number((hz / 1000).toFixed(2))} kHz` : `${Math.round(hz)} Hz`);

export function drawSpectrum(drawing: Drawing): void {
  const { context, width, height, paint, lanes, gutter, pointer } = drawing;
  const bottom = height - AXIS;
  const x = (hz: number): number => gutter + place(hz, LEAST_HZ, MOST_HZ) * (width - gutter);
  const y = (db: number): number => 6 + ((TOP_DB - db) / (TOP_DB - BOTTOM_DB)) * (bottom - 6);
  context.font = paint.font;
  context.textBaseline = 'middle';
  context.lineWidth = 1;
  context.strokeStyle = paint.rule;
  context.fillStyle = paint.soft;
  context.textAlign = 'center';
  for (const hz of [20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000]) {
    context.beginPath();
    context.moveTo(Math.round(x(hz)) + 0.5, 0);
    context.lineTo(Math.round(x(hz)) + 0.5, bottom);
    context.stroke();
    if (x(hz) < width - 16) context.fillText(hz >= 1000 ? `${hz / 1000} k` : `${hz}`, x(hz), height - AXIS / 2 + 1);
  }
  context.textAlign = 'right';
  for (let db = TOP_DB; db >= BOTTOM_DB; db -= 20) {
    context.beginPath();
    context.moveTo(gutter, Math.round(y(db)) + 0.5);
    context.lineTo(width, Math.round(y(db)) + 0.5);
    context.stroke();
    if (y(db) < bottom - 6) context.fillText(`${db} dBV`, gutter - 6, y(db) + (db === TOP_DB ? 5 : 0));
  }
  analyser ??= createAnalyser(SIZE, 'blackmanHarris');
  for (const [i, lane] of lanes.entries()) {
    const window = drawing.windows[i];
    if (!window) continue;
    const levels = toDecibels(
      analyser.amplitudes(
        window.samples.map((v) => (Number.isFinite(v) ? v : 0)),
        Math.max(0, Math.floor(window.from)),
      ),
      BOTTOM_DB,
    );
    drawCurve(context, levels, window.rate, x, y, paint.line[lane.kind], dashes[i % dashes.length] as readonly number[], width - gutter);
  }
  if (pointer !== undefined && pointer > gutter) {
    const hz = LEAST_HZ * (MOST_HZ / LEAST_HZ) ** ((pointer - gutter) / (width - gutter));
    context.strokeStyle = paint.pick;
    context.beginPath();
    context.moveTo(pointer, 0);
    context.lineTo(pointer, bottom);
    context.stroke();
    context.textAlign = pointer > width - 90 ? 'right' : 'left';
    context.fillStyle = paint.ink;
    context.fillText(hzText(hz), pointer + (pointer > width - 90 ? -8 : 8), 14);
  }
}

/** One point per screen column: the highest bin that falls into it. */
function drawCurve(
  context: CanvasRenderingContext2D,
  levels: Float64Array,
  rate: number,
  x: (hz: number) => number,
  y: (db: number) => number,
  style: string,
  dash: readonly number[],
  columns: number,
): void {
  context.strokeStyle = style;
  context.lineWidth = 1.3;
  context.setLineDash([...dash]);
  context.beginPath();
  const ratio = MOST_HZ / LEAST_HZ;
  for (let c = 0; c < columns; c++) {
    const from = LEAST_HZ * ratio ** (c / columns);
    const to = LEAST_HZ * ratio ** ((c + 1) / columns);
    const level = levelBetween(levels, (from * SIZE) / rate, (to * SIZE) / rate);
    const px = x(from);
    if (c === 0) context.moveTo(px, y(level));
    else context.lineTo(px, y(level));
  }
  context.stroke();
  context.setLineDash([]);
}

/** The highest bin within from..to; between bins the straight line, so that low octaves do not look like stairs. */
function levelBetween(levels: Float64Array, from: number, to: number): number {
  const first = Math.ceil(from);
  const last = Math.min(levels.length - 1, Math.floor(to));
  if (first > last) {
    const below = Math.min(Math.floor(from), levels.length - 2);
    const a = levels[below] as number;
    return a + ((levels[below + 1] as number) - a) * (from - below);
  }
  let level = levels[first] as number;
  for (let b = first + 1; b <= last; b++) level = Math.max(level, levels[b] as number);
  return level;
}

/** Frames that the spectrum needs. */
export const SPECTRUM_FRAMES = SIZE;
