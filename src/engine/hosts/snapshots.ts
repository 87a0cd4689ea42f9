/** Moments of a take at which rendering can be taken up again: as many as fit into a budget, evenly spread, and a few where one looks. */
import { EngineState, type SavedState, stateBytes } from './engineState.ts';
import { type Moment, PEAK_FRAMES, type TakeRun } from './takeRun.ts';

/** Output frames between two snapshots while there is room for so many: half a second at 48 kHz. */
const FRAMES_BETWEEN = 48 * PEAK_FRAMES;
/** Share of the budget for snapshots where windows were rendered. */
const SHARE_NEAR = 0.25;
/** A window whose way from the last snapshot is shorter than that gets none of its own. */
const FRAMES_NEAR = 16 * PEAK_FRAMES;

interface Snapshot extends Moment {
  readonly state: SavedState;
}

const bytesOf = (snapshots: readonly Snapshot[]): number => snapshots.reduce((sum, { state }) => sum + stateBytes(state), 0);

export class Snapshots {
  readonly #run: TakeRun;
  readonly #state: EngineState;
  #budget: number;
  #between = FRAMES_BETWEEN;
  /** In order of time; the first is the take's beginning, which needs no bytes. */
  #spread: Snapshot[] = [];
  /** The newest last. */
  #near: Snapshot[] = [];
  /** Where the run last was brought to a snapshot. */
  #sought = 0;

  /** `run` stands at the beginning; `budget` in bytes. */
  constructor(run: TakeRun, budget: number) {
    this.#run = run;
    this.#budget = budget;
    this.#state = new EngineState(run.engine);
    this.visit();
  }

  /** Bytes in use: the snapshots, and the memory as it was at the beginning, which is always kept. */
  get bytes(): number {
    return this.#state.bytes + bytesOf(this.#spread) + bytesOf(this.#near);
  }

  get count(): number {
    return this.#spread.length + this.#near.length;
  }

  /** Saves the run's moment where one is due. Call it between any two steps of the first rendering. */
  visit(): void {
    const { moment } = this.#run;
    if (moment.at % this.#between !== 0) return;
    this.#spread.push({ ...moment, state: this.#state.save() });
    this.limit(this.#budget);
  }

  /** Saves the run's moment, short of a window, where that spares the way there next time. */
  visitNear(): void {
    const { moment } = this.#run;
    if (moment.at - this.#sought < FRAMES_NEAR) return;
    this.#near.push({ ...moment, state: this.#state.save() });
    this.limit(this.#budget);
  }

  /** Keeps to a budget from now on: while there is too much, every second snapshot goes, the early ones first. */
  limit(budget: number): void {
    this.#budget = budget;
    while (this.#near.length > 0 && bytesOf(this.#near) > budget * SHARE_NEAR) this.#near.shift();
    while (this.#spread.length > 1 && bytesOf(this.#spread) > budget * (1 - SHARE_NEAR)) {
      const one = this.#spread.findIndex(({ at }) => at % (2 * this.#between) !== 0);
      if (one < 0) this.#between *= 2;
      else this.#spread.splice(one, 1);
    }
  }

  /** Brings the run to a moment not after `at` that is as near as possible; where it stands may be the nearest. */
  seek(at: number): void {
    const nearest = [...this.#spread, ...this.#near].reduce((best, one) => (one.at <= at && one.at > best.at ? one : best));
    const stays = this.#run.at <= at && this.#run.at >= nearest.at;
    this.#sought = stays ? this.#run.at : nearest.at;
    if (stays) return;
    this.#state.restore(nearest.state);
    this.#run.moved(nearest);
  }
}
