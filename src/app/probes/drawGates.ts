/** The rhythm of all gates as one picture, read like a score: a row per gate, a bar from each rise to its fall, lines at the beat. */
import { beatOf, type GateRun, gateRuns, gateRunsOfPeaks, type Rhythm, rhythmOf, STEADY } from '../../measure/gates.ts';
import type { Drawing } from './drawing.ts';
import { AXIS, absence, drawSentence, drawTimeAxis, line, visibleFrames } from './drawParts.ts';
import { type Lane, laneName, type TimeAxis, type Window } from './lanes.ts';

/** Lines of the beat that are nearer to each other are thinned out, in CSS pixels. */
const NEAREST_BEATS = 14;

/** Runs on the screen, in seconds from its left edge; `rises` where the rise itself is on the screen. */
export interface Bar {
  readonly from: number;
  readonly to: number;
  readonly rises: boolean;
}

interface Row {
  readonly bars: readonly Bar[];
  readonly rhythm: Rhythm;
}

const kept = new WeakMap<
  object,
  { readonly key: string; readonly runs: readonly GateRun[]; readonly rate: number; readonly grain: number }
>();

/** Runs of a lane, in frames from the start of the window's samples, or of the take for peaks (known to some milliseconds only). */
function runsOf(lane: Lane, window: Window | undefined, axis: TimeAxis) {
  const peaks = lane.coarse ?? (window && window.samples.length === 0 && window.peaks ? { ...window.peaks, rate: window.rate } : undefined);
  const identity = peaks?.greatest ?? window?.samples;
  if (!identity) return undefined;
  const { from, to } = peaks || !window ? { from: 0, to: 0 } : visibleFrames(window, axis);
  const key = `${from} ${to}`;
  const known = kept.get(identity);
  if (known?.key === key) return known;
  const found = {
    key,
    runs: peaks ? gateRunsOfPeaks(peaks.least, peaks.greatest, peaks.frames) : gateRuns((window as Window).samples, from, to),
    rate: peaks?.rate ?? (window as Window).rate,
    grain: peaks ? peaks.frames / peaks.rate : 0,
  };
  kept.set(identity, found);
  return found;
}

/** The row of a lane; undefined while there is nothing of it. */
export function rowOf({ lanes, windows, axis }: Pick<Drawing, 'lanes' | 'windows' | 'axis'>, i: number): Row | undefined {
  const lane = lanes[i];
  const window = windows[i];
  const found = lane && runsOf(lane, window, axis);
  if (!found) return undefined;
  const { rate } = found;
  const left = window ? (window.startFrame + window.from) / window.rate : axis.start;
  const shift = window && window.samples.length > 0 ? window.startFrame : 0;
  const shown = found.runs.filter((run) => (run.to + shift) / rate > left && (run.from + shift) / rate < left + axis.span);
  const bars = shown.map((run) => {
    const from = (run.from + shift) / rate - left;
    return {
      from: Math.max(0, from),
      to: Math.min(axis.span, (run.to + shift) / rate - left),
      rises: from > 0.5 / rate || left < 0.5 / rate,
    };
  });
  return {
    bars,
    rhythm: rhythmOf(
      shown.filter((_, b) => bars[b]?.rises),
      rate,
      found.grain,
    ),
  };
}

/** Seconds of the screen at which the beat falls, and the row that gives it. */
export function beatsOf(rows: readonly (Row | undefined)[]): { readonly row: number; readonly times: readonly number[] } | undefined {
  const row = beatOf(rows.map((one) => one?.rhythm ?? { count: 0, interval: undefined, unevenness: 0, length: undefined }));
  if (row === undefined) return undefined;
  return { row, times: (rows[row]?.bars ?? []).filter(({ rises }) => rises).map(({ from }) => from) };
}

export function drawGates(drawing: Drawing): void {
  const { context, width, height, paint, lanes, axis, gutter, pointer } = drawing;
  context.font = paint.font;
  context.textBaseline = 'middle';
  drawTimeAxis(drawing);
  const laneHeight = (height - AXIS) / Math.max(1, lanes.length);
  const x = (seconds: number): number => gutter + (seconds / axis.span) * (width - gutter);
  const rows = lanes.map((_, i) => rowOf(drawing, i));
  const beat = drawing.beats ? undefined : beatsOf(rows);
  drawBeats(drawing, beat?.times ?? timesOf(drawing), x);
  for (const [i] of lanes.entries()) {
    const middle = (i + 0.5) * laneHeight;
    const row = rows[i];
    if (i > 0) line(context, paint.rule, 0, i * laneHeight, width, i * laneHeight);
    if (!row) {
      drawSentence(drawing, absence(drawing.windows[i]) ?? 'no signal yet', middle);
      continue;
    }
    const half = Math.max(2, Math.min(9, laneHeight * 0.28));
    line(context, paint.before, gutter, middle + half, width, middle + half);
    for (const { from, to, rises } of row.bars) {
      const [a, b] = [x(from), Math.max(x(from) + 2, x(to))];
      context.fillStyle = paint.line.gate;
      context.globalAlpha = 0.55;
      context.fillRect(a, middle - half, b - a, 2 * half);
      context.globalAlpha = 1;
      // A stroke marks the rise, so that bars that touch are still told apart.
      if (rises) context.fillRect(a, middle - half - 3, 2, 2 * half + 3);
    }
    if (beat?.row === i) {
      context.fillStyle = paint.soft;
      context.textAlign = 'right';
      context.fillText('beat', gutter - 6, middle);
    }
  }
  if (pointer !== undefined && pointer > gutter) line(context, paint.pick, pointer, 0, pointer, height - AXIS);
}

/** Beats of the take that are on the screen, in seconds from its left edge. */
function timesOf({ beats, axis }: Drawing): readonly number[] {
  if (!beats) return [];
  const [from, to] = [axis.start * beats.rate, (axis.start + axis.span) * beats.rate];
  return [...beats.edges.filter((edge) => edge >= from && edge <= to)].map((edge) => edge / beats.rate - axis.start);
}

function drawBeats({ context, paint, height, axis }: Drawing, times: readonly number[], x: (seconds: number) => number): void {
  const apart = x(times[1] ?? axis.span) - x(times[0] ?? 0);
  const every = Math.max(1, 2 ** Math.ceil(Math.log2(NEAREST_BEATS / Math.max(0.01, apart))));
  context.setLineDash([1, 3]);
  for (const [i, time] of times.entries()) if (i % every === 0) line(context, paint.soft, x(time), 0, x(time), height - AXIS);
  context.setLineDash([]);
}

const secondsText = (seconds: number): string =>
  seconds < 1 ? `${Number((seconds * 1000).toPrecision(3))} ms` : `${Number(seconds.toPrecision(3))} s`;

/** How a gate comes, in words: "24 times, every 500 ms (120 bpm)". */
export function sayGates(drawing: Pick<Drawing, 'lanes' | 'windows' | 'axis'>, i: number): string {
  const row = rowOf(drawing, i);
  if (!row) return '';
  const { count, interval, unevenness } = row.rhythm;
  if (count === 0) return row.bars.length > 0 ? 'high throughout' : 'never high here';
  if (interval === undefined) return 'once';
  const bpm = 60 / interval;
  const even = unevenness <= STEADY;
  return `${count} times, ${even ? 'every' : 'unevenly, about every'} ${secondsText(interval)}${even && bpm >= 20 && bpm <= 999 ? ` (${Number(bpm.toPrecision(3))} bpm)` : ''}`;
}

/** The read-out at the cursor: what is high. */
export function readGates(drawing: Drawing): string {
  const { pointer, gutter, width, axis, lanes } = drawing;
  if (pointer === undefined || pointer <= gutter) return '';
  const at = ((pointer - gutter) / (width - gutter)) * axis.span;
  const high = lanes.filter((_, i) => rowOf(drawing, i)?.bars.some(({ from, to }) => from <= at && at < to)).map(laneName);
  return `${(axis.start + at).toFixed(3)} s: ${high.length > 0 ? `${high.join(', ')} high` : 'all low'}`;
}
