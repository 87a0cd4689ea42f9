/** An engine on its way along a take: its plan, its events, and the moment at which it stands. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import { compilePlan } from '../plan/compile.ts';
import { type EngineEvent, takeEvents } from '../plan/events.ts';
import type { Plan, TapRequest } from '../plan/plan.ts';
import { Engine } from './engine.ts';
import { loadRecordings, type RecordedSound } from './recordings.ts';

/** Output frames that one pair of peaks covers; nothing is rendered across such a border in one go where there are taps. */
export const PEAK_FRAMES = 512;
/** Most output frames that are rendered in one go: with taps, whose frames are taken each time, and without. */
export const CHUNK = 128;
const MANY = 2048;

export interface RunOptions {
  readonly rate: number;
  readonly quality: 1 | 2 | 4 | 8;
  readonly taps: readonly TapRequest[];
  /** Decoded sound files by the id of their recording. */
  readonly recordings: ReadonlyMap<string, RecordedSound>;
  /** Inputs that stand still, see PlanOptions. */
  readonly holds?: ReadonlyMap<string, number>;
}

/** Output frames rendered so far, and how many of the take's events the engine has been handed. */
export interface Moment {
  readonly at: number;
  readonly events: number;
}

export class TakeRun {
  readonly engine: Engine;
  readonly plan: Plan;
  /** Delay of left and right, and of the taps, in output frames. */
  readonly delay: number;
  readonly tapDelay: number;
  readonly #events: readonly EngineEvent[];
  #nextEvent = 0;
  #at = 0;

  constructor(module: WebAssembly.Module, specs: readonly BlockSpec[], patch: Patch, options: RunOptions) {
    const { rate, quality, taps, holds } = options;
    this.engine = new Engine(module, rate, quality);
    const { loaded, end } = loadRecordings(this.engine, this.engine.arenaStart, options.recordings);
    this.plan = compilePlan(patch, this.engine.catalogue(specs), {
      rate,
      quality,
      base: end,
      taps,
      recordings: loaded,
      ...(holds && { holds }),
    });
    this.engine.reserve(this.plan.base + this.plan.totalBytes);
    this.engine.load(this.plan);
    this.delay = this.engine.exports.delayFrames();
    this.tapDelay = this.engine.exports.tapDelayFrames();
    this.#events = takeEvents(patch, this.plan);
  }

  /** Output frames rendered so far. */
  get at(): number {
    return this.#at;
  }

  get moment(): Moment {
    return { at: this.#at, events: this.#nextEvent };
  }

  /** Says that the engine stands at another moment; its state must be that moment's. */
  moved({ at, events }: Moment): void {
    this.#at = at;
    this.#nextEvent = events;
  }

  /** Renders up to `most` output frames in one go; answers how many. They lie at `manyLeft` and `manyRight` of the engine. */
  step(most: number): number {
    const tapped = this.plan.taps.length > 0;
    if (tapped && this.#at % PEAK_FRAMES === 0) this.engine.exports.clearPeaks();
    const room = tapped ? Math.min(CHUNK, PEAK_FRAMES - (this.#at % PEAK_FRAMES)) : MANY - (this.#at % MANY);
    const count = this.engine.renderMany(this.#sendEvents(Math.min(room, most)));
    this.#at += count;
    return count;
  }

  /** Queues what is due in the next `count` frames; returns a smaller count where the runtime's pool is full. */
  #sendEvents(count: number): number {
    const from = this.#at * this.engine.quality;
    for (;;) {
      const event = this.#events[this.#nextEvent];
      if (!event || event.frame >= from + count * this.engine.quality) return count;
      if (!this.engine.send(event)) return Math.max(1, Math.floor((event.frame - from) / this.engine.quality));
      this.#nextEvent++;
    }
  }
}

/** Copies rendered frames to where they belong; `at` may be negative while a delay is skipped. */
export function place(to: Float32Array, from: Float32Array, at: number, count: number): void {
  const first = Math.max(0, -at);
  const room = Math.min(count, to.length - at);
  // For the few frames of a chunk a view would cost more than the copying.
  if (room - first > CHUNK) to.set(from.subarray(first, room), at + first);
  else for (let i = first; i < room; i++) to[at + i] = from[i] as number;
}
