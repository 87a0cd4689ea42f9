/**
 * Paints all the little traces on one canvas over the sketch, when the screen is due and only those in view: a canvas for
 * each would be a layer for each, which makes moving the sketch slow.
 */
import type { SignalKind } from '../../patch/blockSpec.ts';
import type { Trace, TraceSource } from '../store/traces.ts';
import { paintTrace } from './drawTrace.ts';
import { FLAG, type Flag } from './flags.ts';

/** Below this zoom the flags would be specks. */
const LEAST_ZOOM = 0.35;

export interface Viewport {
  readonly x: number;
  readonly y: number;
  readonly zoom: number;
}

export interface TracePainter {
  setFlags(flags: readonly Flag[]): void;
  setViewport(viewport: Viewport): void;
  /** The canvas's size in CSS pixels. */
  setSize(width: number, height: number): void;
  stop(): void;
}

export function createTracePainter(canvas: HTMLCanvasElement, traces: TraceSource): TracePainter {
  const heard = new Map<string, { readonly stop: () => void; trace: Trace | undefined }>();
  let flags: readonly Flag[] = [];
  let viewport: Viewport = { x: 0, y: 0, zoom: 1 };
  let frame = 0;
  let painted = false;

  const soon = (): void => {
    if (frame === 0) frame = requestAnimationFrame(paint);
  };

  function paint(): void {
    frame = 0;
    const context = canvas.getContext('2d');
    if (!context) return;
    const shown = viewport.zoom < LEAST_ZOOM ? [] : flags.filter((flag) => heard.get(flag.name)?.trace && inView(flag));
    // Nothing to paint over nothing: while all is silent the sketch moves without this canvas.
    if (shown.length === 0 && !painted) return;
    painted = shown.length > 0;
    const ratio = globalThis.devicePixelRatio || 1;
    const { x, y, zoom } = viewport;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, canvas.width, canvas.height);
    context.setTransform(zoom * ratio, 0, 0, zoom * ratio, x * ratio, y * ratio);
    const ink = readInk(canvas);
    for (const flag of shown) {
      const trace = heard.get(flag.name)?.trace;
      if (trace) paintFlag(context, flag, trace, ink);
    }
  }

  function inView({ x, y }: Flag): boolean {
    const left = x * viewport.zoom + viewport.x;
    const top = y * viewport.zoom + viewport.y;
    const margin = FLAG.width * viewport.zoom;
    return left > -margin && top > -margin && left < canvas.offsetWidth + margin && top < canvas.offsetHeight + margin;
  }

  return {
    setFlags(next) {
      flags = next;
      const wanted = new Map(next.map((flag) => [flag.name, flag]));
      for (const [name, { stop }] of heard) {
        if (wanted.has(name)) continue;
        stop();
        heard.delete(name);
      }
      for (const { name, source } of next) {
        if (heard.has(name)) continue;
        const entry: { stop: () => void; trace: Trace | undefined } = { stop: () => {}, trace: undefined };
        heard.set(name, entry);
        entry.stop = traces.subscribe(source, (trace) => {
          entry.trace = trace;
          soon();
        });
      }
      soon();
    },
    setViewport(next) {
      viewport = next;
      if (painted || flags.length > 0) soon();
    },
    setSize(width, height) {
      const ratio = globalThis.devicePixelRatio || 1;
      canvas.width = Math.round(width * ratio);
      canvas.height = Math.round(height * ratio);
      soon();
    },
    stop() {
      cancelAnimationFrame(frame);
      for (const { stop } of heard.values()) stop();
      heard.clear();
    },
  };
}

interface Ink {
  readonly sheet: string;
  readonly edge: string;
  readonly line: Readonly<Record<SignalKind, string>>;
}

/** The theme's colours as the page has them now. */
function readInk(canvas: HTMLCanvasElement): Ink {
  const style = getComputedStyle(canvas);
  const colour = (name: string): string => style.getPropertyValue(name);
  return {
    sheet: colour('--sheet'),
    edge: colour('--edge'),
    line: { audio: colour('--line-audio'), control: colour('--line-control'), gate: colour('--line-gate'), pitch: colour('--line-pitch') },
  };
}

function paintFlag(context: CanvasRenderingContext2D, { x, y, kind }: Flag, trace: Trace, ink: Ink): void {
  const { width, height } = FLAG;
  const left = x - width / 2;
  context.fillStyle = ink.sheet;
  context.strokeStyle = ink.edge;
  context.lineWidth = 1;
  context.beginPath();
  context.roundRect(left, y - height / 2, width, height, 3);
  context.fill();
  context.stroke();

  context.fillStyle = ink.line[kind];
  paintTrace(context, trace, { x: left, y: y - height / 2, width, height });
}
