/**
 * A plan: a patch turned into a memory image that the runtime can run as it stands.
 * The order of blocks and cables in the document does not matter.
 */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { Patch, Place } from '../../patch/document.ts';
import type { BlockLayout } from './layout.ts';

/** The catalogue as the engine module knows it: a block's kind is its position. */
export interface EngineCatalogue {
  readonly specs: readonly BlockSpec[];
  /** Struct bytes per kind, as the module reports them. */
  readonly structBytes: readonly number[];
  /** Bytes of one decimator at this quality. */
  readonly decimatorBytes: number;
}

/** A sound file in the engine's memory: `frames` float32 of the left channel, then as many of the right one. */
export interface LoadedRecording {
  readonly address: number;
  readonly frames: number;
  /** Frames per second of the file. */
  readonly rate: number;
}

/** An output to record: every frame, or only the least and greatest volts. */
export interface TapRequest {
  readonly at: Place;
  readonly peaksOnly?: boolean;
}

export interface PlanOptions {
  /** Output rate in Hz, 44,100 to 192,000. */
  readonly rate: number;
  /** Oversampling of the whole engine. */
  readonly quality: 1 | 2 | 4 | 8;
  /** Address at which the image will lie. */
  readonly base: number;
  readonly taps?: readonly TapRequest[];
  /** Inputs whose signal the host writes itself (tests, live inputs). */
  readonly feeds?: readonly Place[];
  /**
   * Inputs ("block.port") that read so many volts instead of what their cable brings. Their sources run on, and order and loops are
   * as they were: nothing else in the patch changes for it.
   */
  readonly holds?: ReadonlyMap<string, number>;
  /** Sound files that the host has put into the engine's memory, by the id of their recording. */
  readonly recordings?: ReadonlyMap<string, LoadedRecording>;
  /** The running plan: blocks of the same id and type keep their state. */
  readonly previous?: Plan;
  /** Cross-fade inputs whose cable differs from `before` over this many engine frames. */
  readonly fade?: { readonly before: Patch; readonly frames: number };
  /** Largest image in bytes; a patch that needs more is refused. */
  readonly limit?: number;
}

export interface PlacedBlock {
  readonly id: string;
  readonly index: number;
  readonly kind: number;
  readonly address: number;
  readonly spec: BlockSpec;
  readonly layout: BlockLayout;
}

export interface PlacedTap extends TapRequest {
  /** Address of the tap's record. */
  readonly address: number;
  /** Address of its 128 float32, 0 for peaks only. */
  readonly out: number;
}

export interface Plan {
  readonly patch: Patch;
  readonly rate: number;
  readonly quality: number;
  readonly base: number;
  readonly image: Uint8Array<ArrayBuffer>;
  readonly totalBytes: number;
  readonly blocks: ReadonlyMap<string, PlacedBlock>;
  readonly taps: readonly PlacedTap[];
  /** Addresses of the signals that the host feeds, by input ("block.port"). */
  readonly feeds: ReadonlyMap<string, number>;
  /** Addresses of output signals, by output ("block.port"). */
  readonly signals: ReadonlyMap<string, number>;
  /** Cables that are read one engine frame late, by destination. */
  readonly delayed: ReadonlySet<string>;
  /** Groups of blocks that run frame by frame. */
  readonly loops: readonly (readonly string[])[];
}

/** A patch that cannot be run as it stands; the message is a sentence for the person. */
export class PlanRefused extends Error {
  override readonly name = 'PlanRefused';
}
