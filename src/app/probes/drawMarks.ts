/** Over the pictures on which time runs across: the beats, and the region that goes round. */
import type { Beats } from './beats.ts';
import type { Drawing } from './drawing.ts';
import { AXIS } from './drawParts.ts';

/** Beats closer together (CSS pixels) would only be a bar. */
const LEAST_DISTANCE = 5;
const BEAT_HEIGHT = 5;

export interface Marks {
  readonly beats: Beats | undefined;
  /** Seconds of the take. */
  readonly loop: readonly [number, number] | undefined;
}

export function drawMarks({ context, width, height, gutter, axis, paint }: Drawing, { beats, loop }: Marks): void {
  const perSecond = (width - gutter) / axis.span;
  const x = (second: number): number => gutter + (second - axis.start) * perSecond;
  const top = height - AXIS;
  if (loop) drawLoop(context, Math.max(gutter, x(loop[0])), Math.min(width, x(loop[1])), loop.map(x), gutter, width, height, paint.pick);
  if (!beats) return;
  const { edges, rate } = beats;
  const first = edges.findIndex((edge) => edge >= axis.start * rate);
  if (first < 0) return;
  const visible = edges.subarray(first, edges.findLastIndex((edge) => edge <= (axis.start + axis.span) * rate) + 1);
  if (visible.length > (width - gutter) / LEAST_DISTANCE) return;
  context.fillStyle = paint.ink;
  for (const edge of visible) context.fillRect(Math.round(x(edge / rate)) - 1, top, 2, BEAT_HEIGHT);
}

/** A wash over what goes round, and a line at each of its ends that is on the screen. */
function drawLoop(
  context: CanvasRenderingContext2D,
  left: number,
  right: number,
  ends: readonly number[],
  gutter: number,
  width: number,
  height: number,
  style: string,
): void {
  context.fillStyle = style;
  if (right > left) {
    context.globalAlpha = 0.1;
    context.fillRect(left, 0, right - left, height - AXIS);
    context.globalAlpha = 0.35;
    context.fillRect(left, height - AXIS, right - left, 3);
    context.globalAlpha = 1;
  }
  for (const end of ends) if (end >= gutter && end <= width) context.fillRect(Math.round(end), 0, 1, height - AXIS + 6);
}
