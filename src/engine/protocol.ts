/** Every message between page and engine: one union each way. Events carry engine frames; buffers are transferred. */
import type { Patch, Place } from '../patch/document.ts';
import type { RecordedSound } from './hosts/recordings.ts';
import type { FrameRange } from './hosts/take.ts';
import type { EngineEvent } from './plan/events.ts';
import type { PlacedTap, TapRequest } from './plan/plan.ts';

/** What the audio thread needs of a plan. */
export interface LivePlan {
  readonly image: Uint8Array<ArrayBuffer>;
  readonly base: number;
  readonly totalBytes: number;
  readonly taps: readonly PlacedTap[];
  /** Block ids by index, to name a faulty one. */
  readonly ids: readonly string[];
}

export type ToLive =
  /** Change over to a plan. `through` cross-fades towards it for `fadeFrames` output frames first; `fresh` fades out, starts anew, fades in. */
  | {
      readonly type: 'plan';
      readonly number: number;
      readonly plan: LivePlan;
      readonly through?: LivePlan;
      readonly fadeFrames: number;
      readonly fresh: boolean;
    }
  | { readonly type: 'events'; readonly events: readonly EngineEvent[] }
  /** A slice of a sound file for the memory; answered by `placed`. */
  | { readonly type: 'sound'; readonly address: number; readonly samples: Float32Array<ArrayBuffer> }
  /** Volume behind the output blocks (1 = as the patch says), reached over `frames` output frames. */
  | { readonly type: 'gain'; readonly gain: number; readonly frames: number }
  /** A tap buffer comes back for reuse. */
  | { readonly type: 'buffer'; readonly buffer: ArrayBuffer };

/**
 * One batch of taps. `samples` holds, for each frame tap in order, `frames` volts; then for each peak tap in order its
 * least and greatest volts in the batch.
 */
export interface TapBatch {
  readonly plan: number;
  /** Output frame (since the start) of the batch's first sample. */
  readonly at: number;
  readonly frames: number;
  readonly samples: Float32Array<ArrayBuffer>;
}

export type FromLive =
  | {
      readonly type: 'ready';
      readonly arenaStart: number;
      readonly regionBytes: number;
      /** Room for sound files. */
      readonly soundsStart: number;
      readonly soundsBytes: number;
      readonly rate: number;
      readonly delayFrames: number;
    }
  | { readonly type: 'applied'; readonly number: number }
  /** A slice of a sound file has been copied. */
  | { readonly type: 'placed' }
  | { readonly type: 'taps'; readonly batch: TapBatch }
  /** Share of the time that the engine needs, and batches lost because the page was busy. */
  | { readonly type: 'load'; readonly share: number; readonly lost: number }
  | { readonly type: 'fault'; readonly block: string | undefined; readonly reason: string };

export interface TakeRequest {
  readonly number: number;
  readonly patch: Patch;
  readonly seconds: number;
  readonly rate: number;
  readonly quality: 1 | 2 | 4 | 8;
  /** All of them give peaks; windows can be asked for of those in full. */
  readonly taps: readonly TapRequest[];
  /** What is looked at: these output frames of the taps in full come along with the take. */
  readonly window?: FrameRange | undefined;
  /** One of the taps in full, whose rising edges are listed. */
  readonly edgesOf?: Place | undefined;
  /** No windows will be asked for later: nothing is kept for them. */
  readonly once?: true | undefined;
  /** The take whose windows are still asked for when this one is there: the one before the last edit. */
  readonly before?: number | undefined;
}

/** A stretch of takes that are there, rendered again; a newer such request, a new take and a cancel end it. */
export interface WindowRequest extends FrameRange {
  readonly id: number;
  /** Numbers of the takes, in the order in which they are answered. */
  readonly takes: readonly number[];
  /** Outputs that the takes record in full; others are left out of the answer. */
  readonly outputs: readonly Place[];
}

export type ToTakes =
  | { readonly type: 'module'; readonly module: WebAssembly.Module }
  /** A decoded sound file, kept by the worker under its sha256 until it is told to forget it. */
  | { readonly type: 'sound'; readonly sha256: string; readonly sound: RecordedSound }
  | { readonly type: 'forget'; readonly sha256: string }
  /** The newest request wins: an older one that still renders is dropped. */
  | { readonly type: 'render'; readonly request: TakeRequest }
  /** Answered by a `window` for each of the takes that is still there. */
  | { readonly type: 'window'; readonly request: WindowRequest }
  | { readonly type: 'cancel' };

/** Pairs of least and greatest volts of an output per `peakFrames` frames, over the whole take. */
export interface RecordedPeaks {
  readonly at: Place;
  readonly peakFrames: number;
  readonly pairs: Float32Array<ArrayBuffer>;
}

/** Every frame of some outputs from frame `from` of the take on, as far as the take goes. */
export interface RecordedWindow {
  readonly from: number;
  readonly frames: number;
  readonly taps: readonly { readonly at: Place; readonly samples: Float32Array<ArrayBuffer> }[];
}

export type FromTakes =
  | { readonly type: 'progress'; readonly number: number; readonly share: number }
  | {
      readonly type: 'done';
      readonly number: number;
      readonly rate: number;
      readonly frames: number;
      readonly left: Float32Array<ArrayBuffer>;
      readonly right: Float32Array<ArrayBuffer>;
      /** In the order of the request's taps. */
      readonly taps: readonly RecordedPeaks[];
      readonly window: RecordedWindow | undefined;
      /** Frames on which the request's `edgesOf` rises. */
      readonly edges: Int32Array<ArrayBuffer>;
      readonly faults: readonly string[];
      /** Seconds of sound per second of rendering. */
      readonly realtimeRatio: number;
    }
  | { readonly type: 'window'; readonly id: number; readonly take: number; readonly window: RecordedWindow }
  | { readonly type: 'refused'; readonly number: number; readonly say: string };
