/** What a probe has seen: the live history, the take, and the take before the last edit. */
import { createHistory, type History } from '../../measure/ring.ts';
import type { ProbeListener, Stretch } from '../listen/probeHub.ts';

/** Seconds of live signal that are kept. */
export const LIVE_SECONDS = 12;

export interface Recording {
  readonly samples: Float32Array;
  readonly rate: number;
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

  take({ samples, rate, step }: Stretch): void {
    if (step !== 'same') this.before = step === 'fresh' ? undefined : this.recorded;
    this.recorded = { samples, rate };
    this.#changed();
  }
}
