/** A trace as a picture: one stroke per column from its least to its greatest volt. */
import type { Rect } from '../../sheet/drawing/geometry.ts';
import type { Trace } from '../store/traces.ts';

/** The scale never magnifies more than this many volts to the full height: a resting voltage is a line, not its noise. */
const LEAST_SPAN = 2;
const PADDING = 2;
const LINE = 0.9;
/** A column that spans more than this share of the height is drawn as a body with an outline. */
const STEEP = 0.25;
const BODY = 0.35;

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
  const wide = Math.max(step, 0.5);
  for (let i = from; i < columns; i++) {
    const left = x + PADDING + i * step;
    const top = y + height / 2 - ((most[i] ?? 0) - middle) * scale;
    const tall = ((most[i] ?? 0) - (least[i] ?? 0)) * scale;
    if (tall < height * STEEP) {
      context.fillRect(left, top - LINE / 2, wide, tall + LINE);
      continue;
    }
    // Sound swings many times within a column: its outline is drawn, and the body lightly.
    context.globalAlpha = BODY;
    context.fillRect(left, top, wide, tall);
    context.globalAlpha = 1;
    context.fillRect(left, top - LINE / 2, wide, LINE);
    context.fillRect(left, top + tall - LINE / 2, wide, LINE);
  }
}
