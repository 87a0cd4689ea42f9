/**
 * What stays of a take when it is done: the engine and some snapshots of it, from which any window of the recorded outputs
 * is rendered again, bit for bit what the whole take had there.
 */
import { type Place, placeName } from '../../patch/document.ts';
import type { Snapshots } from './snapshots.ts';
import { CHUNK, place, type TakeRun } from './takeRun.ts';

export class KeptTake {
  readonly #run: TakeRun;
  readonly #snapshots: Snapshots;
  /** Length in output frames. */
  readonly frames: number;

  constructor(run: TakeRun, snapshots: Snapshots, frames: number) {
    this.#run = run;
    this.#snapshots = snapshots;
    this.frames = frames;
  }

  /** Bytes of the engine's memory and of the snapshots. */
  get bytes(): number {
    return this.engineBytes + this.#snapshots.bytes;
  }

  get engineBytes(): number {
    return this.#run.engine.exports.memory.buffer.byteLength;
  }

  get snapshots(): number {
    return this.#snapshots.count;
  }

  /** Lets go of snapshots until they take no more than `budget` bytes. */
  limit(budget: number): void {
    this.#snapshots.limit(budget);
  }

  /**
   * Begins to render output frames from..from + frames - 1 of those of the outputs that the plan records in full. Only one window
   * of a take is rendered at a time: beginning another ends this one.
   */
  window(from: number, frames: number, outputs: readonly Place[]): WindowRender {
    const first = Math.max(0, Math.min(Math.round(from), this.frames));
    this.#snapshots.seek(first + this.#run.tapDelay);
    return new WindowRender(
      this.#run,
      this.#snapshots,
      first,
      Math.max(0, Math.min(first + Math.round(frames), this.frames) - first),
      outputs,
    );
  }
}

/** A window on its way; advance it until it is done. */
export class WindowRender {
  readonly from: number;
  readonly frames: number;
  readonly taps: readonly { readonly at: Place; readonly index: number; readonly samples: Float32Array<ArrayBuffer> }[];
  readonly #run: TakeRun;
  readonly #snapshots: Snapshots;
  readonly #begin: number;
  readonly #end: number;

  constructor(run: TakeRun, snapshots: Snapshots, from: number, frames: number, outputs: readonly Place[]) {
    this.from = from;
    this.frames = frames;
    this.#run = run;
    this.#snapshots = snapshots;
    this.#begin = from + run.tapDelay;
    this.#end = from + frames + run.tapDelay;
    this.taps = outputs.flatMap((at) => {
      const index = run.plan.taps.findIndex((tap) => !tap.peaksOnly && placeName(tap.at) === placeName(at));
      return index < 0 ? [] : [{ at, index, samples: new Float32Array(frames) }];
    });
  }

  get done(): boolean {
    return this.taps.length === 0 || this.#run.at >= this.#end;
  }

  /** Renders about `frames` output frames further. */
  advance(frames: number): void {
    const run = this.#run;
    const end = Math.min(run.at + frames, this.#end);
    while (!this.done && run.at < end) {
      const at = run.at - run.tapDelay - this.from;
      if (run.at <= this.#begin && run.at + CHUNK > this.#begin) this.#snapshots.visitNear();
      const count = run.step(this.#end - run.at);
      if (at + count > 0) for (const { index, samples } of this.taps) place(samples, run.engine.tap(index), at, count);
    }
  }
}
