/** Keeps the table of figures up to date, a few milliseconds at a time. No figure passes through React. */
import { scaled } from '../../measure/figures.ts';
import { FULL_SCALE_VOLTS } from '../../measure/levels.ts';
import { createLoudnessMeter, type LoudnessMeter } from '../../measure/loudness.ts';
import type { History } from '../../measure/ring.ts';
import type { Drawing } from './drawing.ts';
import { visibleFrames } from './drawParts.ts';
import {
  coarseFigures,
  type FigureColumn,
  type FigureTexts,
  figureColumns,
  laneFigures,
  lufsText,
  NOTHING,
  noFigures,
  outputFigures,
} from './figureTexts.ts';
import type { Lane } from './lanes.ts';

export const OUTPUT_ROW = 'output';
/** Time for one portion, and from one portion to the next, in milliseconds. */
const PORTION = 6;
const PAUSE = 16;
/** From one round over live sound to the next. */
const LIVE_PAUSE = 250;

interface Meter {
  readonly history: History;
  readonly meter: LoudnessMeter;
  at: number;
}

/** The take's two channels. */
export interface OutputSound {
  readonly left: Float32Array;
  readonly right: Float32Array;
  readonly rate: number;
}

type Job = { readonly row: string; readonly steps: Generator<undefined, FigureTexts> };

export class FigureWork {
  /** Cells of the table: row, then column. */
  readonly cells = new Map<string, Map<FigureColumn, HTMLElement>>();
  readonly #meters = new WeakMap<Lane['recorder'], Meter>();
  #jobs: Job[] = [];
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** What the figures shown were worked out from. */
  readonly #done = new Map<string, readonly unknown[]>();
  #next = 0;

  /** What is on the screen; figures of what has not changed stay. */
  update({ lanes, windows, axis, live }: Drawing, output: OutputSound | undefined): void {
    if (live && (this.#jobs.length > 0 || performance.now() < this.#next)) return;
    this.#next = performance.now() + LIVE_PAUSE;
    for (const [i, lane] of lanes.entries()) {
      const window = windows[i];
      if (!window || window.samples.length === 0) {
        this.#done.delete(lane.name);
        this.#write(lane.name, window?.peaks && !live ? coarseFigures(window.peaks, window.rate, axis) : noFigures);
        continue;
      }
      const { from, to } = visibleFrames(window, axis);
      if (!live && this.#known(lane.name, [window.samples, from, to, lane.kind])) continue;
      const { samples, rate } = window;
      this.#add(lane.name, laneFigures({ lane, samples, rate, from, to, live, metered: live ? this.#metered(lane) : undefined }));
    }
    if (live) this.#write(OUTPUT_ROW, { ...noFigures, peak: 'in the take' });
    else if (output) {
      const from = Math.round(axis.start * output.rate);
      const to = Math.min(output.left.length, Math.round((axis.start + axis.span) * output.rate));
      if (!this.#known(OUTPUT_ROW, [output.left, from, to]))
        this.#add(OUTPUT_ROW, outputFigures(output.left, output.right, output.rate, from, to));
    }
    this.#timer ??= setTimeout(() => this.#portion(), 0);
  }

  stop(): void {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    this.#jobs = [];
    this.#done.clear();
  }

  #known(row: string, from: readonly unknown[]): boolean {
    const last = this.#done.get(row);
    const same = last !== undefined && last.length === from.length && last.every((value, i) => value === from[i]);
    this.#done.set(row, from);
    return same;
  }

  #add(row: string, steps: Generator<undefined, FigureTexts>): void {
    this.#jobs = [...this.#jobs.filter((job) => job.row !== row), { row, steps }];
  }

  #portion(): void {
    this.#timer = undefined;
    const end = performance.now() + PORTION;
    while (this.#jobs.length > 0 && performance.now() < end) {
      const job = this.#jobs[0] as Job;
      const { done, value } = job.steps.next();
      if (!done) continue;
      this.#jobs = this.#jobs.filter((other) => other !== job);
      this.#write(job.row, value);
    }
    if (this.#jobs.length > 0) this.#timer = setTimeout(() => this.#portion(), PAUSE);
  }

  /** Loudness of a live lane: metered on from the last time. */
  #metered({ recorder, kind }: Lane): Pick<FigureTexts, 'short' | 'integrated'> | undefined {
    const { history, rate } = recorder;
    if (!history || kind !== 'audio') return undefined;
    let kept = this.#meters.get(recorder);
    if (!kept || kept.history !== history || kept.at > history.end || history.end - kept.at > history.capacity) {
      kept = { history, meter: createLoudnessMeter(rate, 1), at: history.end };
      this.#meters.set(recorder, kept);
    }
    const fresh = new Float32Array(history.end - kept.at);
    history.copy(kept.at, fresh);
    kept.meter.push([scaled(fresh, FULL_SCALE_VOLTS)]);
    kept.at = history.end;
    const say = (value: number | undefined): string => (value === undefined ? NOTHING : lufsText(value));
    return { short: say(kept.meter.shortTerm()), integrated: say(kept.meter.integrated()) };
  }

  #write(row: string, texts: FigureTexts): void {
    const cells = this.cells.get(row);
    for (const column of figureColumns) {
      const cell = cells?.get(column);
      if (cell && cell.textContent !== texts[column]) cell.textContent = texts[column];
    }
  }
}
