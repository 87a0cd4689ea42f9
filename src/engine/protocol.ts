/** Every message between page and engine: one union each way. Events carry engine frames; buffers are transferred. */
import type { Patch, Place } from '../patch/document.ts';
import type { RecordedSound } from './hosts/recordings.ts';
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
  readonly taps: readonly TapRequest[];
}

export type ToTakes =
  | { readonly type: 'module'; readonly module: WebAssembly.Module }
  /** A decoded sound file, kept by the worker under its sha256 until it is told to forget it. */
  | { readonly type: 'sound'; readonly sha256: string; readonly sound: RecordedSound }
  | { readonly type: 'forget'; readonly sha256: string }
  /** The newest request wins: an older one that still renders is dropped. */
  | { readonly type: 'render'; readonly request: TakeRequest }
  | { readonly type: 'cancel' };

/** Every frame of a recorded output (`peakFrames` 0), or pairs of least and greatest volts per `peakFrames` frames. */
export interface RecordedTap {
  readonly at: Place;
  readonly peakFrames: number;
  readonly samples: Float32Array<ArrayBuffer>;
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
      readonly taps: readonly RecordedTap[];
      readonly faults: readonly string[];
      /** Seconds of sound per second of rendering. */
      readonly realtimeRatio: number;
    }
  | { readonly type: 'refused'; readonly number: number; readonly say: string };
