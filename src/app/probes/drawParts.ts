/** What several views draw alike. */
import type { Drawing } from './drawing.ts';
import { roundStep, ticks, timeText } from './scales.ts';

/** Height of the axis below the lanes, in CSS pixels. */
export const AXIS = 20;

export function line(context: CanvasRenderingContext2D, style: string, x1: number, y1: number, x2: number, y2: number): void {
  context.strokeStyle = style;
  context.lineWidth = 1;
  context.beginPath();
  context.moveTo(Math.round(x1) + 0.5, Math.round(y1) + 0.5);
  context.lineTo(Math.round(x2) + 0.5, Math.round(y2) + 0.5);
  context.stroke();
}

export function drawTimeAxis({ context, width, height, paint, axis, gutter }: Drawing): void {
  const most = Math.max(2, Math.floor((width - gutter) / 90));
  const step = roundStep(axis.span, most);
  context.textAlign = 'center';
  for (const time of ticks(axis.start, axis.start + axis.span, most)) {
    const x = gutter + ((time - axis.start) / axis.span) * (width - gutter);
    line(context, paint.rule, x, 0, x, height - AXIS);
    context.fillStyle = paint.soft;
    if (x < width - 20) context.fillText(timeText(time, step), x, height - AXIS / 2 + 1);
  }
}
