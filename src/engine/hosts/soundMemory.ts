/**
 * Where sound files lie in the audio thread's memory. Room for them is set aside before the sound starts and never grows; a sound is sent in
 * slices, a few at a time, so that the audio thread copies little between two quanta. An address is given away only when no plan that runs
 * or is on its way reads it any more. [page]
 */
import type { LoadedRecording } from '../plan/plan.ts';
import { type RecordedSound, recordingBytes } from './recordings.ts';

/** float32 samples in one slice: 64 kB. */
const SLICE = 16384;
/** Slices that wait for their acknowledgement. */
const IN_FLIGHT = 2;
const ALIGN = 16;

export interface Slice {
  readonly address: number;
  readonly samples: Float32Array<ArrayBuffer>;
}

interface Place {
  readonly bytes: number;
  readonly recording: LoadedRecording;
  /** Slices that are not there yet. */
  missing: number;
}

export class SoundMemory {
  readonly #base: number;
  readonly #bytes: number;
  readonly #send: (slice: Slice) => void;
  readonly #places = new Map<string, Place>();
  #queue: { readonly sha256: string; readonly make: () => Slice }[] = [];
  /** Owners of the slices on their way, oldest first. */
  #flying: string[] = [];

  /** `bytes` from address `base` on; `send` takes one slice to the audio thread, which acknowledges each. */
  constructor(base: number, bytes: number, send: (slice: Slice) => void) {
    this.#base = base;
    this.#bytes = bytes;
    this.#send = send;
  }

  /** Where a sound lies; undefined until all of it is there. */
  find(sha256: string): LoadedRecording | undefined {
    const place = this.#places.get(sha256);
    return place?.missing === 0 ? place.recording : undefined;
  }

  /**
   * Begins to send a sound, unless it is there or on its way. Sounds that are not in `used` (by sha256) may have to go.
   * False where there is no room.
   */
  bring(sha256: string, sound: RecordedSound, used: ReadonlySet<string>): boolean {
    if (this.#places.has(sha256)) return true;
    const bytes = Math.ceil(recordingBytes(sound) / ALIGN) * ALIGN;
    const address = this.#room(bytes) ?? this.#makeRoom(bytes, used);
    if (address === undefined) return false;
    const frames = sound.channels[0]?.length ?? 0;
    const slices = slicesOf(sound, frames, address);
    this.#places.set(sha256, { bytes, recording: { address, frames, rate: sound.rate }, missing: slices.length });
    this.#queue.push(...slices.map((make) => ({ sha256, make })));
    this.#pump();
    return true;
  }

  /** The oldest slice has been copied. Names the sound that is complete with it. */
  acknowledge(): string | undefined {
    const sha256 = this.#flying.shift();
    const place = sha256 === undefined ? undefined : this.#places.get(sha256);
    if (place) place.missing--;
    this.#pump();
    return place?.missing === 0 ? sha256 : undefined;
  }

  #pump(): void {
    while (this.#flying.length < IN_FLIGHT) {
      const next = this.#queue.shift();
      if (!next) return;
      this.#flying.push(next.sha256);
      this.#send(next.make());
    }
  }

  /** First gap that is wide enough. */
  #room(bytes: number): number | undefined {
    let at = this.#base;
    const places = [...this.#places.values()].sort((a, b) => a.recording.address - b.recording.address);
    for (const { recording, bytes: taken } of places) {
      if (recording.address - at >= bytes) return at;
      at = recording.address + taken;
    }
    return this.#base + this.#bytes - at >= bytes ? at : undefined;
  }

  /** Lets unused sounds go, those longest there first, until there is a gap. What is still on its way is never cut short. */
  #makeRoom(bytes: number, used: ReadonlySet<string>): number | undefined {
    for (const [sha256, place] of this.#places) {
      if (used.has(sha256) || place.missing > 0) continue;
      this.#places.delete(sha256);
      const address = this.#room(bytes);
      if (address !== undefined) return address;
    }
    return undefined;
  }
}

/** Left channel, then right one; a mono sound on both sides. Copies are made one by one, as they are sent. */
function slicesOf({ channels }: RecordedSound, frames: number, address: number): (() => Slice)[] {
  return [0, 1].flatMap((side) => {
    const channel = channels[side] ?? channels[0];
    return Array.from({ length: Math.ceil(frames / SLICE) }, (_, i) => () => ({
      address: address + (side * frames + i * SLICE) * 4,
      samples: (channel as Float32Array).slice(i * SLICE, (i + 1) * SLICE),
    }));
  });
}
