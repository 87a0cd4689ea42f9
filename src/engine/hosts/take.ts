/** A take: a deterministic rendering of N seconds, with delays compensated. Runs in workers and in Node. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { DEFAULT_SECONDS, type Patch } from '../../patch/document.ts';
import type { Plan, TapRequest } from '../plan/plan.ts';
import { EdgeCounter } from './edgeCounter.ts';
import type { Engine } from './engine.ts';
import { KeptTake } from './keptTake.ts';
import type { RecordedSound } from './recordings.ts';
import { Snapshots } from './snapshots.ts';
import { PEAK_FRAMES, place, TakeRun } from './takeRun.ts';

/** Output frames `from` .. `from + frames - 1`. */
export interface FrameRange {
  readonly from: number;
  readonly frames: number;
}

export interface TakeOptions {
  readonly seconds?: number;
  readonly rate?: number;
  readonly quality?: 1 | 2 | 4 | 8;
  readonly taps?: readonly TapRequest[];
  /** Inputs that stand still, whatever their cable brings, see PlanOptions. */
  readonly holds?: ReadonlyMap<string, number>;
  /** Decoded sound files by the id of their recording. */
  readonly recordings?: ReadonlyMap<string, RecordedSound>;
  /** Outputs are recorded in full only within this range; left out: all of the take. */
  readonly window?: FrameRange;
  /** Bytes for snapshots, from which `kept` renders windows later, less where the engine itself is large; left out: none are taken. */
  readonly snapshotBytes?: number;
  /** The tap (by index, in full) whose rising edges are listed. */
  readonly edgesOf?: number | undefined;
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
   * Recorded outputs in volts, in the order of the requests, before level, dc block and ceiling: every frame (of the window, where
   * one was asked for), or for requests of peaks pairs of least and greatest volts per `peakFrames` frames.
   */
  readonly taps: readonly Float32Array<ArrayBuffer>[];
  /** Such pairs of every tap over the whole take. */
  readonly peaks: readonly Float32Array<ArrayBuffer>[];
  readonly peakFrames: number;
  /** Frames on which the tap `edgesOf` rises. */
  readonly edges: Int32Array<ArrayBuffer>;
  /** Ids of blocks that turned non-finite and were muted. */
  readonly faults: readonly string[];
}

/** There may be another such engine for the take before: what both need is taken off, down to a sixth. */
function budgetFor(engine: Engine, bytes: number): number {
  return Math.max(bytes / 6, bytes - 2 * engine.exports.memory.buffer.byteLength);
}

/** Renders step by step, so that a host may report progress, cancel or interleave other work. */
export class TakeRenderer {
  readonly #run: TakeRun;
  readonly frames: number;
  readonly #from: number;
  readonly #left: Float32Array<ArrayBuffer>;
  readonly #right: Float32Array<ArrayBuffer>;
  readonly #taps: readonly Float32Array<ArrayBuffer>[];
  readonly #peaks: readonly Float32Array<ArrayBuffer>[];
  readonly #snapshots: Snapshots | undefined = undefined;
  readonly #edges = new EdgeCounter();
  readonly #edgesOf: number;
  readonly #faults = new Set<string>();
  readonly #watch: TakeOptions['watch'];

  constructor(module: WebAssembly.Module, specs: readonly BlockSpec[], patch: Patch, options: TakeOptions = {}) {
    const rate = options.rate ?? 48000;
    const run = new TakeRun(module, specs, patch, {
      rate,
      quality: options.quality ?? 1,
      taps: options.taps ?? [],
      recordings: options.recordings ?? new Map(),
      ...(options.holds && { holds: options.holds }),
    });
    this.#run = run;
    this.frames = Math.round((options.seconds ?? patch.seconds ?? DEFAULT_SECONDS) * rate);
    this.#from = Math.max(0, Math.min(options.window?.from ?? 0, this.frames));
    const full = Math.max(0, Math.min(options.window?.frames ?? this.frames, this.frames - this.#from));
    this.#left = new Float32Array(this.frames);
    this.#right = new Float32Array(this.frames);
    this.#peaks = run.plan.taps.map(() => new Float32Array(2 * Math.ceil(this.frames / PEAK_FRAMES)));
    this.#watch = options.watch;
    this.#taps = (options.watch ? [] : run.plan.taps).map((tap, i) =>
      tap.peaksOnly ? (this.#peaks[i] as Float32Array<ArrayBuffer>) : new Float32Array(full),
    );
    this.#edgesOf = options.edgesOf ?? -1;
    if (options.snapshotBytes !== undefined) this.#snapshots = new Snapshots(run, budgetFor(run.engine, options.snapshotBytes));
  }

  get engine(): Engine {
    return this.#run.engine;
  }

  get plan(): Plan {
    return this.#run.plan;
  }

  /** Share done, 0..1. */
  get progress(): number {
    const total = this.frames + this.#run.delay;
    return total === 0 ? 1 : Math.min(1, this.#run.at / total);
  }

  get done(): boolean {
    return this.#run.at >= this.frames + this.#run.delay;
  }

  /** Renders about `frames` output frames further. */
  advance(frames: number): void {
    const run = this.#run;
    const { engine, delay, tapDelay, plan } = run;
    const end = Math.min(run.at + frames, this.frames + delay);
    while (run.at < end) {
      const { at } = run;
      const count = run.step(end - at);
      place(this.#left, engine.manyLeft, at - delay, count);
      place(this.#right, engine.manyRight, at - delay, count);
      if (run.at % PEAK_FRAMES === 0 || run.at >= this.frames) this.#placePeaks(2 * Math.floor(at / PEAK_FRAMES));
      for (let i = 0; i < this.#taps.length; i++) {
        if (!plan.taps[i]?.peaksOnly) place(this.#taps[i] as Float32Array, engine.tap(i), at - tapDelay - this.#from, count);
        if (i === this.#edgesOf) this.#edges.see(engine.tap(i), at - tapDelay, count, this.frames);
      }
      if (this.#watch) this.#show(this.#watch, at - tapDelay, count);
      const fault = engine.exports.takeFault();
      if (fault >= 0) for (const block of plan.blocks.values()) if (block.index === fault) this.#faults.add(block.id);
      this.#snapshots?.visit();
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

  #placePeaks(pair: number): void {
    for (const [i, peaks] of this.#peaks.entries()) {
      if (pair >= peaks.length) return;
      peaks[pair] = this.engine.tapLowest(i);
      peaks[pair + 1] = this.engine.tapHighest(i);
    }
  }

  result(): Take {
    return {
      rate: this.engine.rate,
      frames: this.frames,
      left: this.#left,
      right: this.#right,
      taps: this.#taps,
      peaks: this.#peaks,
      peakFrames: PEAK_FRAMES,
      edges: this.#edges.frames(),
      faults: [...this.#faults],
    };
  }

  /** What windows of the take are rendered from when it is done; there where `snapshotBytes` were given. */
  get kept(): KeptTake | undefined {
    return this.#snapshots && new KeptTake(this.#run, this.#snapshots, this.frames);
  }
}

export function renderTake(module: WebAssembly.Module, specs: readonly BlockSpec[], patch: Patch, options: TakeOptions = {}): Take {
  const renderer = new TakeRenderer(module, specs, patch, options);
  renderer.advance(Number.POSITIVE_INFINITY);
  return renderer.result();
}
