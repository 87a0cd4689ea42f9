/** Moments of a take at which rendering can be taken up again: as many as fit into a budget, evenly spread. */
import { EngineState, type SavedState, stateBytes } from './engineState.ts';
import { type Moment, PEAK_FRAMES, type TakeRun } from './takeRun.ts';

/** Output frames between two snapshots while there is room for so many: half a second at 48 kHz. */
const FRAMES_BETWEEN = 48 * PEAK_FRAMES;

interface Snapshot extends Moment {
  readonly state: SavedState;
}

export class Snapshots {
  readonly #run: TakeRun;
  readonly #state: EngineState;
  #budget: number;
  #between = FRAMES_BETWEEN;
  /** In order of time; the first is the take's beginning. */
  #kept: Snapshot[] = [];
  #savedBytes = 0;

  /** `run` stands at the beginning; `budget` in bytes. */
  constructor(run: TakeRun, budget: number) {
    this.#run = run;
    this.#budget = budget;
    this.#state = new EngineState(run.engine);
    this.visit();
  }

  /** Bytes in use, the beginning of the take included, which is always kept. */
  get bytes(): number {
    return this.#state.bytes + this.#savedBytes;
  }

  get count(): number {
    return this.#kept.length;
  }

  /** Saves the run's moment where one is due. Call it between any two steps of the first rendering. */
  visit(): void {
    const { moment } = this.#run;
    if (moment.at % this.#between !== 0) return;
    const state = this.#state.save();
    this.#kept.push({ ...moment, state });
    this.#savedBytes += stateBytes(state);
    this.limit(this.#budget);
  }

  /** Keeps to a budget from now on: while there is too much, every second snapshot goes. */
  limit(budget: number): void {
    this.#budget = budget;
    while (this.bytes > budget && this.#kept.length > 1) {
      this.#between *= 2;
      this.#kept = this.#kept.filter(({ at }) => at % this.#between === 0);
      this.#savedBytes = this.#kept.reduce((sum, { state }) => sum + stateBytes(state), 0);
    }
  }

  /** Brings the run to a moment not after `at` that is as near as possible; where it stands may be the nearest. */
  seek(at: number): void {
    const nearest = this.#kept.findLast((snapshot) => snapshot.at <= at) as Snapshot;
    if (this.#run.at <= at && this.#run.at >= nearest.at) return;
    this.#state.restore(nearest.state);
    this.#run.moved(nearest);
  }
}
