/** The sound files of the patch that plays live: which are in the audio thread's memory, and which have to be brought. [page] */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import type { LoadedRecording } from '../plan/plan.ts';
import type { RecordedSound } from './recordings.ts';
import type { SoundMemory } from './soundMemory.ts';

const MEGABYTE = 1048576;

export class LiveSounds {
  readonly #memory: SoundMemory;
  readonly #bytes: number;
  /** Ids of the settings that name a recording, by type of block. */
  readonly #settings: ReadonlyMap<string, readonly string[]>;
  #sounds: ReadonlyMap<string, RecordedSound> = new Map();

  constructor(memory: SoundMemory, bytes: number, specs: readonly BlockSpec[]) {
    this.#memory = memory;
    this.#bytes = bytes;
    this.#settings = new Map(
      specs.map((spec) => [spec.type, spec.settings.flatMap(({ id, type }) => (type === 'recording' ? [id] : []))] as const),
    );
  }

  /** Decoded sounds by sha256, from now on. */
  provide(sounds: ReadonlyMap<string, RecordedSound>): void {
    this.#sounds = sounds;
  }

  /** Begins to bring what the patch plays. `running` patches still read theirs. A sentence where a sound finds no room. */
  bring(patch: Patch, running: readonly (Patch | undefined)[]): string | undefined {
    const used = new Set([patch, ...running].flatMap((each) => (each ? [...this.#played(each).values()] : [])));
    for (const sha256 of this.#played(patch).values()) {
      const sound = this.#sounds.get(sha256);
      if (!sound || this.#memory.bring(sha256, sound, used)) continue;
      const name = patch.recordings?.find((recording) => recording.sha256 === sha256)?.name;
      const room = Math.floor(this.#bytes / MEGABYTE);
      return `"${name}" cannot be heard live, because the sound files of this patch need more than ${room} MB of sound memory. A take plays them all.`;
    }
    return undefined;
  }

  /** Where the sounds that are there lie, by the id of their recording. */
  places(patch: Patch): ReadonlyMap<string, LoadedRecording> {
    return new Map(
      [...this.#played(patch)].flatMap(([id, sha256]) => {
        const place = this.#memory.find(sha256);
        return place ? [[id, place] as const] : [];
      }),
    );
  }

  /** Which block reads where: two patches with the same answer read the same sounds. */
  reading(patch: Patch): string {
    const places = this.places(patch);
    const readers = patch.blocks.flatMap(({ id, type, settings }) =>
      (this.#settings.get(type) ?? []).map((setting) => `${id} ${places.get(String(settings?.[setting]))?.address ?? ''}`),
    );
    return readers.sort().join('\n');
  }

  /** sha256 of the recordings that blocks play, by id. */
  #played(patch: Patch): ReadonlyMap<string, string> {
    const ids = new Set(
      patch.blocks.flatMap(({ type, settings }) => (this.#settings.get(type) ?? []).map((setting) => settings?.[setting])),
    );
    return new Map((patch.recordings ?? []).flatMap(({ id, sha256 }) => (ids.has(id) ? [[id, sha256] as const] : [])));
  }
}
