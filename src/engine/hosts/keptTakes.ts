/**
 * The takes of which windows can be rendered: the newest, and the one before the last edit. What they may take is fixed, so that
 * 60 s of 300 blocks stay below 200 MB with everything that the page keeps beside them.
 */
import type { KeptTake } from './keptTake.ts';

/** Bytes for the snapshots of the newest take, and of those before it. */
export const SNAPSHOT_BYTES = 48e6;
export const OLDER_SNAPSHOT_BYTES = 8e6;
/** An engine that large (with sound files, or very many delays) is not kept when a newer take is there. */
const OLDER_ENGINE_BYTES = 24e6;

export class KeptTakes {
  readonly #takes = new Map<number, KeptTake>();
  #newest = -1;

  find(number: number): KeptTake | undefined {
    return this.#takes.get(number);
  }

  get bytes(): number {
    return [...this.#takes.values()].reduce((sum, take) => sum + take.bytes, 0);
  }

  /** Another take begins to render: only the newest so far and the one that will stand behind the coming one stay, and they make room. */
  makeRoom(before: number | undefined): void {
    for (const [number, take] of this.#takes) {
      const stays = number === this.#newest || (number === before && take.engineBytes <= OLDER_ENGINE_BYTES);
      if (stays) take.limit(OLDER_SNAPSHOT_BYTES);
      else this.#takes.delete(number);
    }
  }

  add(number: number, take: KeptTake, before: number | undefined): void {
    for (const [old, { engineBytes }] of this.#takes) if (old !== before || engineBytes > OLDER_ENGINE_BYTES) this.#takes.delete(old);
    this.#takes.set(number, take);
    this.#newest = number;
  }
}
