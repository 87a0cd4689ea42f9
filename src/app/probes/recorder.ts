/** What a probe has seen: the live history, the take, and the take before the last edit. */
import { createHistory, type History } from '../../measure/ring.ts';
import type { Peaks, ProbeListener, ProbeTake, Stretch, TakeStretch, WhichTake } from '../listen/probeHub.ts';

/** Seconds of live signal that are kept. */
export const LIVE_SECONDS = 12;

/** Of a take: peaks of all of it, and every frame of what is looked at. */
export interface Recording {
  readonly rate: number;
  readonly frames: number;
  readonly peaks: Peaks;
  readonly window: TakeStretch | undefined;
}

export class Recorder implements ProbeListener {
  history: History | undefined;
  rate = 48000;
  recorded: Recording | undefined;
  /** The take before the last edit, drawn behind in grey. */
  before: Recording | undefined;
  readonly #changed: () => void;

  constructor(changed: () => void) {
    this.#changed = changed;
  }

  live({ at, samples, rate }: Stretch): void {
    if (!this.history || rate !== this.rate) {
      this.history = createHistory(Math.round(LIVE_SECONDS * rate));
      this.rate = rate;
    }
    if (at < this.history.end - samples.length) this.history.clear(at);
    this.history.push(samples, at);
    this.#changed();
  }

  take({ rate, frames, peaks, window, step }: ProbeTake): void {
    if (step !== 'same') this.before = step === 'fresh' ? undefined : this.recorded;
    this.recorded = { rate, frames, peaks, window };
    this.#changed();
  }

  window(which: WhichTake, window: TakeStretch): void {
    if (which === 'now' && this.recorded) this.recorded = { ...this.recorded, window };
    else if (which === 'before' && this.before) this.before = { ...this.before, window };
    this.#changed();
  }
}
