/** Draws a trace into a small canvas, in the canvas's own text colour: one stroke per column from its least to its greatest volt. */
import type { Trace } from '../store/traces.ts';

const PADDING = 2;
/** The scale never magnifies more than this: a resting voltage is drawn as a line, not as its noise. */
const LEAST_SPAN = 2;

export function drawTrace(canvas: HTMLCanvasElement, { least, most, filled }: Trace): void {
  const context = canvas.getContext('2d');
  if (!context || filled === 0) return;
  canvas.dataset.empty = 'false';
  const ratio = Math.min(3, (globalThis.devicePixelRatio || 1) * 2);
  const width = Math.round(canvas.offsetWidth * ratio);
  const height = Math.round(canvas.offsetHeight * ratio);
  if (canvas.width !== width) canvas.width = width;
  if (canvas.height !== height) canvas.height = height;
  context.clearRect(0, 0, width, height);
  context.fillStyle = getComputedStyle(canvas).color;

  const columns = least.length;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = columns - filled; i < columns; i++) {
    low = Math.min(low, least[i] ?? 0);
    high = Math.max(high, most[i] ?? 0);
  }
  const middle = (low + high) / 2;
  const span = Math.max(LEAST_SPAN, high - low);
  const room = height - 2 * PADDING * ratio;
  const toY = (volts: number): number => height / 2 - ((volts - middle) / span) * room;
  const step = width / columns;
  const thick = Math.max(ratio * 0.9, 1);
  for (let i = columns - filled; i < columns; i++) {
    const top = toY(most[i] ?? 0);
    const bottom = toY(least[i] ?? 0);
    context.fillRect(i * step, top - thick / 2, Math.max(step, 1), Math.max(thick, bottom - top + thick));
  }
}
