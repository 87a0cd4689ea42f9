/** What several views draw alike. */
import type { Drawing } from './drawing.ts';
import type { TimeAxis, Window } from './lanes.ts';
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
    if (x < width - 20) context.fillText(timeText(time, step, axis.start + axis.span), x, height - AXIS / 2 + 1);
  }
}

/** Frames of a window's samples that lie on the screen: from .. to - 1, whole, none where they are not there. */
export function visibleFrames({ samples, rate, from }: Window, axis: TimeAxis): { from: number; to: number } {
  const first = Math.max(0, Math.floor(from));
  return { from: first, to: Math.max(first, Math.min(samples.length, Math.ceil(from + axis.span * rate))) };
}

/** A sentence in the middle of the picture, or of a part of it. */
export function drawSentence({ context, width, paint, gutter }: Drawing, text: string, y: number): void {
  context.textAlign = 'left';
  context.fillStyle = paint.soft;
  context.fillText(text, gutter + 8, y, width - gutter - 16);
}

/** Why a lane has nothing to show. */
export function absence(window: Window | undefined): string | undefined {
  if (!window) return 'no signal yet';
  if (window.samples.length > 0) return undefined;
  return window.coming ? 'this stretch is on its way' : 'zoom in to see this stretch';
}

/** The text with the colour of the paper around it, so that it can be read on a picture. */
export function drawHalo({ context, paint }: Drawing, text: string, x: number, y: number, style: string): void {
  context.lineWidth = 3;
  context.lineJoin = 'round';
  context.strokeStyle = paint.paper;
  context.strokeText(text, x, y);
  context.fillStyle = style;
  context.fillText(text, x, y);
}
