/** A take: a deterministic rendering of N seconds, with delays compensated. Runs in workers and in Node. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { DEFAULT_SECONDS, type Patch } from '../../patch/document.ts';
import { compilePlan } from '../plan/compile.ts';
import { type EngineEvent, takeEvents } from '../plan/events.ts';
import type { Plan, TapRequest } from '../plan/plan.ts';
import { Engine } from './engine.ts';
import { loadRecordings, type RecordedSound } from './recordings.ts';

export interface TakeOptions {
  readonly seconds?: number;
  readonly rate?: number;
  readonly quality?: 1 | 2 | 4 | 8;
  readonly taps?: readonly TapRequest[];
  /** Inputs that stand still, whatever their cable brings, see PlanOptions. */
  readonly holds?: ReadonlyMap<string, number>;
  /** Decoded sound files by the id of their recording. */
  readonly recordings?: ReadonlyMap<string, RecordedSound>;
  /**
   * Given, taps are not kept but shown as they come: `samples` holds `count` frames of the tap from its first element on, valid
   * during the call only. What a delay puts before frame 0 is not shown.
   */
  readonly watch?: (tap: number, samples: Float32Array, count: number) => void;
}

export interface Take {
  readonly rate: number;
  readonly frames: number;
  readonly left: Float32Array<ArrayBuffer>;
  readonly right: Float32Array<ArrayBuffer>;
  /**
   * Recorded outputs in volts, in the order of the requests, before level, dc block and ceiling: every frame, or for
   * requests of peaks pairs of least and greatest volts per `peakFrames` frames.
   */
  readonly taps: readonly Float32Array<ArrayBuffer>[];
  readonly peakFrames: number;
  /** Ids of blocks that turned non-finite and were muted. */
  readonly faults: readonly string[];
}

const CHUNK = 128;
/** Output frames that one pair of peaks covers. */
const PEAK_FRAMES = 512;

/** Renders step by step, so that a host may report progress, cancel or interleave other work. */
export class TakeRenderer {
  readonly engine: Engine;
  readonly plan: Plan;
  readonly frames: number;
  readonly #events: readonly EngineEvent[];
  #nextEvent = 0;
  #at = 0;
  readonly #left: Float32Array<ArrayBuffer>;
  readonly #right: Float32Array<ArrayBuffer>;
  readonly #taps: Float32Array<ArrayBuffer>[];
  readonly #faults = new Set<string>();
  readonly #watch: TakeOptions['watch'];

  constructor(module: WebAssembly.Module, specs: readonly BlockSpec[], patch: Patch, options: TakeOptions = {}) {
    const rate = options.rate ?? 48000;
    const quality = options.quality ?? 1;
    this.engine = new Engine(module, rate, quality);
    const { loaded, end } = loadRecordings(this.engine, this.engine.arenaStart, options.recordings ?? new Map());
    this.plan = compilePlan(patch, this.engine.catalogue(specs), {
      rate,
      quality,
      base: end,
      taps: options.taps ?? [],
      recordings: loaded,
      ...(options.holds && { holds: options.holds }),
    });
    this.engine.reserve(this.plan.base + this.plan.totalBytes);
    this.engine.load(this.plan);
    this.frames = Math.round((options.seconds ?? patch.seconds ?? DEFAULT_SECONDS) * rate);
    this.#events = takeEvents(patch, this.plan);
    this.#left = new Float32Array(this.frames);
    this.#right = new Float32Array(this.frames);
    this.#watch = options.watch;
    this.#taps = (options.watch ? [] : this.plan.taps).map(
      (tap) => new Float32Array(tap.peaksOnly ? 2 * Math.ceil(this.frames / PEAK_FRAMES) : this.frames),
    );
  }

  /** Share done, 0..1. */
  get progress(): number {
    const total = this.frames + this.engine.exports.delayFrames();
    return total === 0 ? 1 : Math.min(1, this.#at / total);
  }

  get done(): boolean {
    return this.#at >= this.frames + this.engine.exports.delayFrames();
  }

  /** Renders about `frames` output frames further. */
  advance(frames: number): void {
    const { engine } = this;
    const delay = engine.exports.delayFrames();
    const tapDelay = engine.exports.tapDelayFrames();
    const end = Math.min(this.#at + frames, this.frames + delay);
    while (this.#at < end) {
      const inPeak = this.#at % PEAK_FRAMES;
      if (inPeak === 0) engine.exports.clearPeaks();
      const count = this.#sendEvents(Math.min(CHUNK, end - this.#at, PEAK_FRAMES - inPeak));
      engine.render(count);
      place(this.#left, engine.left, this.#at - delay, count);
      place(this.#right, engine.right, this.#at - delay, count);
      for (const [i, tap] of this.#taps.entries()) {
        if (this.plan.taps[i]?.peaksOnly) this.#placePeaks(tap, i);
        else place(tap, engine.tap(i), this.#at - tapDelay, count);
      }
      if (this.#watch) this.#show(this.#watch, this.#at - tapDelay, count);
      const fault = engine.exports.takeFault();
      if (fault >= 0) for (const block of this.plan.blocks.values()) if (block.index === fault) this.#faults.add(block.id);
      this.#at += count;
    }
  }

  #show(watch: NonNullable<TakeOptions['watch']>, at: number, count: number): void {
    const late = Math.max(0, -at);
    const shown = Math.min(count, this.frames - at) - late;
    if (shown <= 0) return;
    for (const i of this.plan.taps.keys()) {
      const samples = this.engine.tap(i);
      watch(i, late > 0 ? samples.subarray(late) : samples, shown);
    }
  }

  #placePeaks(tap: Float32Array, index: number): void {
    const pair = 2 * Math.floor(this.#at / PEAK_FRAMES);
    if (pair >= tap.length) return;
    tap[pair] = this.engine.tapLowest(index);
    tap[pair + 1] = this.engine.tapHighest(index);
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

  result(): Take {
    return {
      rate: this.engine.rate,
      frames: this.frames,
      left: this.#left,
      right: this.#right,
      taps: this.#taps,
      peakFrames: PEAK_FRAMES,
      faults: [...this.#faults],
    };
  }
}

/**
 * Copies rendered frames to where they belong; `at` may be negative while a delay is skipped.
 * A plain loop: views on the few frames of a chunk would cost more than the copying.
 */
function place(to: Float32Array, from: Float32Array, at: number, count: number): void {
  const room = Math.min(count, to.length - at);
  for (let i = Math.max(0, -at); i < room; i++) to[at + i] = from[i] as number;
}

export function renderTake(module: WebAssembly.Module, specs: readonly BlockSpec[], patch: Patch, options: TakeOptions = {}): Take {
  const renderer = new TakeRenderer(module, specs, patch, options);
  renderer.advance(Number.POSITIVE_INFINITY);
  return renderer.result();
}
