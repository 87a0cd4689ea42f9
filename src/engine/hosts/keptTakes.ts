/**
 * The takes of which windows can be rendered: the newest, and the one before the last edit. What they may take is fixed, so that
 * 60 s of 300 blocks stay below 200 MB with everything that the page keeps beside them.
 */
import type { KeptTake } from './keptTake.ts';

/** Bytes for the snapshots of the newest take, and of each before it. */
export const SNAPSHOT_BYTES = 28e6;
const OLDER_SNAPSHOT_BYTES = 3e6;
/** Bytes for takes before the one that renders, engines included: with sound files or very many delays there may be room for none. */
const OLDER_BYTES = 32e6;

export class KeptTakes {
  readonly #takes = new Map<number, KeptTake>();
  #newest = -1;

  find(number: number): KeptTake | undefined {
    return this.#takes.get(number);
  }

  get bytes(): number {
    return [...this.#takes.values()].reduce((sum, take) => sum + take.bytes, 0);
  }

  /** Another take begins to render: only the newest so far and the one that will stand behind the coming one stay, as far as there is room. */
  makeRoom(before: number | undefined): void {
    this.#keepOlder([this.#newest, before]);
  }

  add(number: number, take: KeptTake, before: number | undefined): void {
    this.#keepOlder([before]);
    this.#takes.set(number, take);
    this.#newest = number;
  }

  #keepOlder(numbers: readonly (number | undefined)[]): void {
    const old = new Map(this.#takes);
    this.#takes.clear();
    for (const number of numbers) {
      const take = number === undefined ? undefined : old.get(number);
      take?.limit(OLDER_SNAPSHOT_BYTES);
      if (take && number !== undefined && (this.#takes.has(number) || this.bytes + take.bytes <= OLDER_BYTES))
        this.#takes.set(number, take);
    }
  }
}
