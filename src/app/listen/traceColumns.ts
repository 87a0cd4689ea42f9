/** The last two seconds of an output as columns of least and greatest volts, for the flags on the cables. */
import type { Trace } from '../store/traces.ts';

export const TRACE_SECONDS = 2;
export const TRACE_COLUMNS = 94;

export class TraceColumns implements Trace {
  readonly least = new Float32Array(TRACE_COLUMNS);
  readonly most = new Float32Array(TRACE_COLUMNS);
  readonly seconds = TRACE_SECONDS;
  filled = 0;

  /** Appends one column; the oldest goes. */
  push(least: number, most: number): void {
    this.least.copyWithin(0, 1);
    this.most.copyWithin(0, 1);
    this.least[TRACE_COLUMNS - 1] = least;
    this.most[TRACE_COLUMNS - 1] = most;
    this.filled = Math.min(TRACE_COLUMNS, this.filled + 1);
  }
}

/**
 * Columns of a take's last two seconds from its peaks (pairs of least and greatest volts per `peakFrames` frames).
 * A take shorter than that fills the columns from the end.
 */
export function columnsOfTake(pairs: Float32Array, peakFrames: number, rate: number): TraceColumns {
  const columns = new TraceColumns();
  const perColumn = (TRACE_SECONDS * rate) / peakFrames / TRACE_COLUMNS;
  const count = pairs.length / 2;
  const first = Math.max(0, TRACE_COLUMNS - Math.floor(count / perColumn));
  for (let c = first; c < TRACE_COLUMNS; c++) {
    const from = Math.max(0, Math.floor(count - (TRACE_COLUMNS - c) * perColumn));
    const to = Math.max(from + 1, Math.floor(count - (TRACE_COLUMNS - c - 1) * perColumn));
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    for (let i = from; i < Math.min(to, count); i++) {
      least = Math.min(least, pairs[2 * i] as number);
      most = Math.max(most, pairs[2 * i + 1] as number);
    }
    columns.push(least, most);
  }
  return columns;
}
