/** The whole take in one strip: the peaks of every probe, one narrow row each. */
import { columnsOfPeaks } from '../../measure/columns.ts';
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
    const columns = Math.max(1, Math.floor(width));
    const perColumn = (length * recorded.rate) / recorded.peaks.frames / columns;
    const { lowest, highest } = columnsOfPeaks(recorded.peaks.least, recorded.peaks.greatest, 0, perColumn, columns);
    const [low, high] = fitVolts(reduce(lowest, Math.min), reduce(highest, Math.max));
    const y = (volts: number): number => (i + 1) * row - 1 - ((volts - low) / (high - low)) * (row - 2);
    if (before && before.rate === recorded.rate) {
      const old = columnsOfPeaks(before.peaks.least, before.peaks.greatest, 0, perColumn, columns);
      fill(context, paint.before, old.lowest, old.highest, y);
    }
    fill(context, paint.line[lane.kind], lowest, highest, y);
  }
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
