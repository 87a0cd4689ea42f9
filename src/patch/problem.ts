/** What is wrong with a document: where, which rule, and a plain sentence. With the words that such sentences share. */
import type { RuleId } from './refusal.ts';

export interface Problem {
  /** JSON path: `blocks[3].settings.cutoff`; empty for the file as a whole. */
  readonly path: string;
  readonly rule: RuleId;
  /** Says what is allowed. */
  readonly say: string;
}

/** The path of an entry of a list or a field of a record. */
export function childPath(path: string, key: string | number): string {
  if (typeof key === 'number') return `${path}[${key}]`;
  if (!/^[A-Za-z_$][\w$]*$/.test(key)) return `${path}[${JSON.stringify(key)}]`;
  return path ? `${path}.${key}` : key;
}

/** A number as a sentence shows it; it can be typed back. */
export function plainNumber(value: number): string {
  return String(Number(value.toPrecision(9)));
}

/** `"sine", "saw"` */
export function quoted(words: readonly string[]): string {
  return words.map((word) => `"${word}"`).join(', ');
}

/** A wrong value, short enough for a sentence. */
export function shown(value: unknown): string {
  if (typeof value === 'string') return JSON.stringify(value.length > 40 ? `${value.slice(0, 37)}...` : value);
  if (value === undefined) return 'nothing';
  if (Array.isArray(value)) return 'a list';
  return typeof value === 'object' && value !== null ? 'an object' : String(value);
}

/** The word of a list that a misspelt one most likely means; undefined if none is near. */
export function closest(word: string, words: Iterable<string>): string | undefined {
  let best: string | undefined;
  let fewest = Math.max(2, Math.floor(word.length / 3)) + 1;
  for (const candidate of words) {
    const edits = distance(word.toLowerCase(), candidate.toLowerCase(), fewest);
    if (edits < fewest) [best, fewest] = [candidate, edits];
  }
  return best;
}

/** Letters to change, add or drop to make one word of the other; anything at or beyond `limit` may come out as `limit`. */
function distance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) >= limit) return limit;
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(change, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[b.length] ?? limit;
}
