/** The scope: one lane per probe on one time axis. Work is bounded by the screen's columns. */
import { type Columns, columnsOfFrames, columnsOfPeaks } from '../../measure/columns.ts';
import type { Drawing } from './drawing.ts';
import { AXIS, drawTimeAxis, line } from './drawParts.ts';
import type { Lane, Window } from './lanes.ts';
import { fitVolts } from './scales.ts';
import { alignedToTrigger, earlierSweeps, framesOf, persists, type Sweep } from './sweeps.ts';

export function drawWave(whole: Drawing): void {
  const persistent = persists(whole.scope);
  const drawing = persistent ? alignedToTrigger(whole) : whole;
  const sweeps = persistent ? earlierSweeps(drawing) : [];
  const { context, width, height, paint, lanes, gutter } = drawing;
  context.font = paint.font;
  context.textBaseline = 'middle';
  const laneHeight = (height - AXIS) / Math.max(1, lanes.length);
  drawTimeAxis(drawing);
  for (const [i, lane] of lanes.entries()) {
    const top = i * laneHeight;
    if (i > 0) line(context, paint.rule, 0, top, width, top);
    drawLane(drawing, lane, drawing.windows[i], sweeps, top + 6, laneHeight - 12);
  }
  if (drawing.pointer !== undefined && drawing.pointer > gutter)
    line(context, paint.pick, drawing.pointer, 0, drawing.pointer, height - AXIS);
}

function drawLane(drawing: Drawing, lane: Lane, window: Window | undefined, sweeps: readonly Sweep[], top: number, height: number): void {
  const { context, width, paint, axis, gutter, pointer } = drawing;
  context.textAlign = 'left';
  context.fillStyle = paint.soft;
  if (!window) {
    context.fillText('no signal yet', gutter + 8, top + height / 2);
    return;
  }
  const count = Math.max(1, Math.floor(width - gutter));
  const perColumn = (axis.span * window.rate) / count;
  const columns = columnsOf(window, perColumn, count);
  const earlier = sweeps.map(({ at, strength }) => {
    const start = Math.floor(at);
    const samples = framesOf(lane, window, drawing.live, start, Math.ceil(axis.span * window.rate) + 2);
    return { strength, columns: columnsOfFrames(samples, at - start, perColumn, count) };
  });
  const all = [columns, ...earlier.map((sweep) => sweep.columns)];
  const fitted = (): readonly [number, number] =>
    fitVolts(Math.min(...all.map(({ lowest }) => least(lowest))), Math.max(...all.map(({ highest }) => most(highest))));
  const [low, high] = drawing.scope.volts === 'auto' ? fitted() : drawing.scope.volts;
  const y = (volts: number): number => top + height * (1 - (volts - low) / (high - low));
  if (low < 0 && high > 0) line(context, paint.rule, gutter, y(0), width, y(0));
  context.textAlign = 'right';
  if (height >= 26) {
    context.fillText(`${high} V`, gutter - 6, top + 4);
    context.fillText(`${low} V`, gutter - 6, top + height - 4);
  }
  context.save();
  context.beginPath();
  context.rect(gutter, top - 3, width - gutter, height + 6);
  context.clip();
  const before = columnsBefore(window, perColumn, count);
  if (before) stroke(context, paint.before, before, gutter, y, 1, []);
  for (const sweep of earlier) {
    context.globalAlpha = sweep.strength;
    stroke(context, paint.line[lane.kind], sweep.columns, gutter, y, 1, []);
  }
  context.globalAlpha = 1;
  stroke(context, paint.line[lane.kind], columns, gutter, y, lane.kind === 'audio' ? 1.4 : 1.2, []);
  if (1 / perColumn >= DOT_DISTANCE) drawDots(context, paint.line[lane.kind], window, 1 / perColumn, gutter, width, y);
  context.restore();
  if (pointer !== undefined && pointer > gutter) {
    const c = Math.min(count - 1, Math.floor(pointer - gutter));
    const [a, b] = [columns.lowest[c] as number, columns.highest[c] as number];
    if (Number.isFinite(a)) {
      const text = b - a < 0.05 * (high - low) ? `${((a + b) / 2).toFixed(2)} V` : `${a.toFixed(2)} to ${b.toFixed(2)} V`;
      const right = pointer > width - 120;
      context.textAlign = right ? 'right' : 'left';
      context.fillStyle = paint.ink;
      context.fillText(text, pointer + (right ? -8 : 8), top + 8);
    }
  }
}

/** Every frame where they are there, else peaks. */
function columnsOf({ samples, from, peaks }: Window, perColumn: number, count: number): Columns {
  if (samples.length > 0 || !peaks) return columnsOfFrames(samples, from, perColumn, count);
  return columnsOfPeaks(peaks.least, peaks.greatest, from / peaks.frames, perColumn / peaks.frames, count);
}

/** Peaks of the take before are drawn only where they are not much coarser than the screen. */
function columnsBefore({ samples, from, startFrame, before, beforePeaks }: Window, perColumn: number, count: number): Columns | undefined {
  if (before) return columnsOfFrames(before, from, perColumn, count);
  if (!beforePeaks || (samples.length > 0 && perColumn * 4 < beforePeaks.frames)) return undefined;
  const { least, greatest, frames } = beforePeaks;
  return columnsOfPeaks(least, greatest, (startFrame + from) / frames, perColumn / frames, count);
}

/** Samples that far apart (CSS pixels) are drawn as dots. */
const DOT_DISTANCE = 6;

function drawDots(
  context: CanvasRenderingContext2D,
  style: string,
  { samples, from }: Window,
  perFrame: number,
  left: number,
  right: number,
  y: (volts: number) => number,
): void {
  context.fillStyle = style;
  context.beginPath();
  const first = Math.max(0, Math.ceil(from));
  for (let n = first; n < samples.length; n++) {
    const x = left + (n - from) * perFrame;
    if (x > right) break;
    const volts = samples[n] as number;
    if (!Number.isFinite(volts)) continue;
    context.moveTo(x + 2.5, y(volts));
    context.arc(x, y(volts), 2.5, 0, 2 * Math.PI);
  }
  context.fill();
}

const least = (values: Float32Array): number => values.reduce((m, v) => Math.min(m, Number.isNaN(v) ? m : v), Number.POSITIVE_INFINITY);
const most = (values: Float32Array): number => values.reduce((m, v) => Math.max(m, Number.isNaN(v) ? m : v), Number.NEGATIVE_INFINITY);

function stroke(
  context: CanvasRenderingContext2D,
  style: string,
  columns: { readonly lowest: Float32Array; readonly highest: Float32Array },
  left: number,
  y: (volts: number) => number,
  weight: number,
  dash: number[],
): void {
  context.strokeStyle = style;
  context.lineWidth = weight;
  context.setLineDash(dash);
  context.lineJoin = 'round';
  context.beginPath();
  let drawing = false;
  let at = 0;
  for (let c = 0; c < columns.lowest.length; c++) {
    const low = columns.lowest[c] as number;
    const high = columns.highest[c] as number;
    if (!Number.isFinite(low)) {
      drawing = false;
      continue;
    }
    const x = left + c + 0.5;
    const [a, b] = [y(low), y(high)];
    // Enter the column at the end that is nearer to where the line stands.
    const first = drawing && Math.abs(at - b) < Math.abs(at - a) ? b : a;
    const last = first === a ? b : a;
    if (drawing) context.lineTo(x, first);
    else context.moveTo(x, first);
    if (last !== first) context.lineTo(x, last);
    at = last;
    drawing = true;
  }
  context.stroke();
  context.setLineDash([]);
}
