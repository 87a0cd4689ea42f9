/**
 * The state of an engine at a moment, kept sparsely: only the pages that differ from the moment when the plan was loaded. What
 * never changes (tables, the plan's image, free records, sound files, memory not yet reached) costs nothing.
 */
import type { Engine } from './engine.ts';

/** 1 kB. */
const PAGE_WORDS = 256;

export interface SavedState {
  /** Numbers of the pages that differ, counted through all parts. */
  readonly pages: Uint32Array;
  /** Their contents, one after the other. */
  readonly words: Int32Array;
}

export function stateBytes({ pages, words }: SavedState): number {
  return pages.byteLength + words.byteLength;
}

interface Part {
  readonly now: Int32Array;
  /** Begin of the part as it was at first; beyond it everything was zero. */
  readonly first: Int32Array;
  readonly firstPage: number;
}

export class EngineState {
  readonly #parts: readonly Part[];
  /** Pages found to differ, for reuse. */
  #found = new Uint32Array(1024);

  /** Call it when the plan has just been loaded; the engine's memory must not grow afterwards. */
  constructor(engine: Engine) {
    let firstPage = 0;
    this.#parts = engine.stateParts().map((now) => {
      let end = now.length;
      while (end > 0 && now[end - 1] === 0) end--;
      const part = { now, first: now.slice(0, Math.min(now.length, Math.ceil(end / PAGE_WORDS) * PAGE_WORDS)), firstPage };
      firstPage += Math.ceil(now.length / PAGE_WORDS);
      return part;
    });
  }

  /** Bytes that are kept whether or not anything was saved. */
  get bytes(): number {
    return this.#parts.reduce((sum, { first }) => sum + first.byteLength, 0);
  }

  save(): SavedState {
    let count = 0;
    for (const { now, first, firstPage } of this.#parts) {
      for (let from = 0, page = firstPage; from < now.length; from += PAGE_WORDS, page++) {
        if (!differs(now, first, from, Math.min(from + PAGE_WORDS, now.length))) continue;
        if (count === this.#found.length) this.#found = grown(this.#found);
        this.#found[count++] = page;
      }
    }
    const pages = this.#found.slice(0, count);
    const words = new Int32Array(count * PAGE_WORDS);
    this.#eachPage(pages, (now, from, i) => words.set(now.subarray(from, Math.min(from + PAGE_WORDS, now.length)), i * PAGE_WORDS));
    return { pages, words };
  }

  restore({ pages, words }: SavedState): void {
    for (const { now, first } of this.#parts) {
      now.set(first);
      now.fill(0, first.length);
    }
    this.#eachPage(pages, (now, from, i) => {
      const count = Math.min(PAGE_WORDS, now.length - from);
      now.set(words.subarray(i * PAGE_WORDS, i * PAGE_WORDS + count), from);
    });
  }

  #eachPage(pages: Uint32Array, visit: (now: Int32Array, from: number, index: number) => void): void {
    let part = 0;
    for (let i = 0; i < pages.length; i++) {
      const page = pages[i] as number;
      while (page >= (this.#parts[part + 1]?.firstPage ?? Number.POSITIVE_INFINITY)) part++;
      const { now, firstPage } = this.#parts[part] as Part;
      visit(now, (page - firstPage) * PAGE_WORDS, i);
    }
  }
}

function differs(now: Int32Array, first: Int32Array, from: number, to: number): boolean {
  if (from >= first.length) {
    for (let i = from; i < to; i++) if (now[i] !== 0) return true;
    return false;
  }
  for (let i = from; i < to; i++) if (now[i] !== first[i]) return true;
  return false;
}

function grown(array: Uint32Array<ArrayBuffer>): Uint32Array<ArrayBuffer> {
  const larger = new Uint32Array(array.length * 2);
  larger.set(array);
  return larger;
}
