/** A trace as a picture: one stroke per column from its least to its greatest volt. */
import type { Rect } from '../../sheet/drawing/geometry.ts';
import type { Trace } from '../store/traces.ts';

/** The scale never magnifies more than this many volts to the full height: a resting voltage is a line, not its noise. */
const LEAST_SPAN = 2;
const PADDING = 2;

/** Draws a trace into a small canvas of its own, in the canvas's text colour. */
export function drawTrace(canvas: HTMLCanvasElement, trace: Trace): void {
  const context = canvas.getContext('2d');
  if (!context || trace.filled === 0) return;
  canvas.dataset.empty = 'false';
  const ratio = globalThis.devicePixelRatio || 1;
  const { offsetWidth: width, offsetHeight: height } = canvas;
  const [w, h] = [Math.round(width * ratio), Math.round(height * ratio)];
  if (canvas.width !== w) canvas.width = w;
  if (canvas.height !== h) canvas.height = h;
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.clearRect(0, 0, width, height);
  context.fillStyle = getComputedStyle(canvas).color;
  paintTrace(context, trace, { x: 0, y: 0, width, height });
}

/** Paints a trace into a rectangle with the fill colour that is set. */
export function paintTrace(context: CanvasRenderingContext2D, { least, most, filled }: Trace, { x, y, width, height }: Rect): void {
  const columns = least.length;
  const from = columns - filled;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = from; i < columns; i++) {
    low = Math.min(low, least[i] ?? 0);
    high = Math.max(high, most[i] ?? 0);
  }
  const scale = (height - 2 * PADDING) / Math.max(LEAST_SPAN, high - low);
  const middle = (low + high) / 2;
  const step = (width - 2 * PADDING) / columns;
  for (let i = from; i < columns; i++) {
    const top = y + height / 2 - ((most[i] ?? 0) - middle) * scale;
    const tall = ((most[i] ?? 0) - (least[i] ?? 0)) * scale;
    context.fillRect(x + PADDING + i * step, top - 0.45, Math.max(step, 0.5), tall + 0.9);
  }
}
