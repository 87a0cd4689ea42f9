/** The whole take in one strip: the peaks of every probe, one narrow row each. */
import { columnsOfPeaks } from '../../measure/columns.ts';
import type { SignalKind } from '../../patch/blockSpec.ts';
import type { Peaks } from '../listen/probeHub.ts';
import type { Lane } from './lanes.ts';
import type { Paint } from './paint.ts';
import { fitVolts } from './scales.ts';

/** Narrower rows show nothing. */
const LEAST_ROW = 6;

export interface OverviewDrawing {
  readonly context: CanvasRenderingContext2D;
  /** CSS pixels. */
  readonly width: number;
  readonly height: number;
  readonly paint: Paint;
  readonly lanes: readonly Lane[];
  /** Seconds of the take. */
  readonly length: number;
}

export function drawOverview({ context, width, height, paint, lanes, length }: OverviewDrawing): void {
  const shown = lanes.filter(({ recorder }) => recorder.recorded).slice(0, Math.max(1, Math.floor(height / LEAST_ROW)));
  const row = height / Math.max(1, shown.length);
  for (const [i, lane] of shown.entries()) {
    const { recorded, before } = lane.recorder;
    if (!recorded) continue;
    const last = before?.rate === recorded.rate ? before.peaks : undefined;
    const take = { peaks: recorded.peaks, before: last, rate: recorded.rate, length };
    drawPeakRow({ context, width, paint, kind: lane.kind, top: i * row, height: row }, take);
  }
}

export interface PeakRow {
  readonly context: CanvasRenderingContext2D;
  readonly width: number;
  readonly paint: Paint;
  readonly kind: SignalKind;
  readonly top: number;
  readonly height: number;
}

/** One output over the whole take, as high as its volts go. */
export function drawPeakRow(
  { context, width, paint, kind, top, height }: PeakRow,
  {
    peaks,
    before,
    rate,
    length,
  }: { readonly peaks: Peaks; readonly before: Peaks | undefined; readonly rate: number; readonly length: number },
): void {
  const columns = Math.max(1, Math.floor(width));
  const perColumn = (length * rate) / peaks.frames / columns;
  const { lowest, highest } = columnsOfPeaks(peaks.least, peaks.greatest, 0, perColumn, columns);
  const [low, high] = fitVolts(reduce(lowest, Math.min), reduce(highest, Math.max));
  const y = (volts: number): number => top + height - 1 - ((volts - low) / (high - low)) * (height - 2);
  if (before) {
    const old = columnsOfPeaks(before.least, before.greatest, 0, perColumn, columns);
    fill(context, paint.before, old.lowest, old.highest, y);
  }
  fill(context, paint.line[kind], lowest, highest, y);
}

function reduce(values: Float32Array, better: (a: number, b: number) => number): number {
  return values.reduce((best, value) => (Number.isNaN(value) ? best : Number.isNaN(best) ? value : better(best, value)), Number.NaN);
}

/** One upright stroke per column, at least a pixel high. */
function fill(
  context: CanvasRenderingContext2D,
  style: string,
  lowest: Float32Array,
  highest: Float32Array,
  y: (volts: number) => number,
): void {
  context.fillStyle = style;
  for (let c = 0; c < lowest.length; c++) {
    if (Number.isNaN(lowest[c] as number)) continue;
    const top = y(highest[c] as number);
    context.fillRect(c, top, 1, Math.max(1, y(lowest[c] as number) - top));
  }
}
