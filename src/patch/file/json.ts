/**
 * JSON text to values. Stricter and more talkative than the language's own: it says at which line and column a text
 * breaks off, refuses a field that is written twice (which would silently lose one), and lets NaN and Infinity
 * through as numbers, so that the check of the document can refuse them by their path.
 */
import { childPath, type Problem } from '../problem.ts';

export type Json = null | boolean | number | string | readonly Json[] | JsonObject;
export interface JsonObject {
  readonly [field: string]: Json;
}

/** No document nests deeper; a limit keeps a hostile file from exhausting the stack. */
const MAXIMUM_DEPTH = 32;

const space = /[ \t\n\r]*/y;
const numeral = /-?(?:Infinity|(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?)|NaN/y;
/** All but the quotation mark, the backslash and control characters. */
const plainString = /[ !#-[\]-\uffff]*/y;
const escaping = /\\(?:["\\/bfnrt]|u[\da-fA-F]{4})/y;
const word = /true|false|null/y;

/** Thrown inside this file only: the text is not JSON from `offset` on. */
class BrokenText {
  readonly offset: number;
  readonly why: string;
  constructor(offset: number, why: string) {
    this.offset = offset;
    this.why = why;
  }
}

export function parseJson(
  text: string,
): { readonly value: Json; readonly problems: readonly Problem[] } | { readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const parser = new Parser(text, problems);
  try {
    return { value: parser.whole(), problems };
  } catch (error) {
    if (!(error instanceof BrokenText)) throw error;
    return { problems: [{ path: '', rule: 'bad-json', say: `This is not JSON: ${error.why} at ${placeInText(text, error.offset)}.` }] };
  }
}

function placeInText(text: string, offset: number): string {
  const before = text.slice(0, offset).split('\n');
  return `line ${before.length}, column ${(before.at(-1) ?? '').length + 1}`;
}

class Parser {
  readonly #text: string;
  readonly #problems: Problem[];
  #at = 0;
  #depth = 0;

  constructor(text: string, problems: Problem[]) {
    this.#text = text;
    this.#problems = problems;
  }

  whole(): Json {
    const value = this.#value('');
    if (this.#at < this.#text.length) this.#broken('something follows the end');
    return value;
  }

  #value(path: string): Json {
    this.#take(space);
    const value = this.#bare(path);
    this.#take(space);
    return value;
  }

  #bare(path: string): Json {
    const first = this.#text[this.#at];
    if (first === '{') return this.#nested(() => this.#object(path));
    if (first === '[') return this.#nested(() => this.#list(path));
    if (first === '"') return this.#string();
    const number = this.#take(numeral);
    if (number) return Number(number);
    const name = this.#take(word);
    if (!name) this.#broken(first === undefined ? 'it ends too early' : 'a value is missing or malformed');
    return name === 'null' ? null : name === 'true';
  }

  #nested<T>(read: () => T): T {
    this.#depth += 1;
    if (this.#depth > MAXIMUM_DEPTH) this.#broken(`it is nested deeper than ${MAXIMUM_DEPTH} levels`);
    this.#at += 1;
    const value = read();
    this.#depth -= 1;
    return value;
  }

  #object(path: string): JsonObject {
    const fields: Record<string, Json> = {};
    this.#take(space);
    if (this.#skip('}')) return fields;
    do {
      this.#take(space);
      if (this.#text[this.#at] !== '"') this.#broken('the name of a field is missing');
      const name = this.#string();
      const place = childPath(path, name);
      this.#take(space);
      if (!this.#skip(':')) this.#broken('a colon is missing');
      const value = this.#value(place);
      if (Object.hasOwn(fields, name))
        this.#problems.push({ path: place, rule: 'already-there', say: `The field "${name}" is written twice; keep one.` });
      // Defined, not assigned: a field called __proto__ is a field like any other.
      Object.defineProperty(fields, name, { value, enumerable: true, writable: true, configurable: true });
    } while (this.#skip(','));
    if (!this.#skip('}')) this.#broken('a comma or } is missing');
    return fields;
  }

  #list(path: string): readonly Json[] {
    const entries: Json[] = [];
    this.#take(space);
    if (this.#skip(']')) return entries;
    do entries.push(this.#value(childPath(path, entries.length)));
    while (this.#skip(','));
    if (!this.#skip(']')) this.#broken('a comma or ] is missing');
    return entries;
  }

  #string(): string {
    const start = this.#at;
    this.#at += 1;
    let escaped = false;
    for (;;) {
      this.#take(plainString);
      if (this.#skip('"')) break;
      if (!this.#take(escaping)) this.#broken('a text is not closed, or has a character that must be escaped');
      escaped = true;
    }
    const quoted = this.#text.slice(start, this.#at);
    return escaped ? String(JSON.parse(quoted)) : quoted.slice(1, -1);
  }

  /** What the pattern matches here; moves past it. */
  #take(pattern: RegExp): string {
    pattern.lastIndex = this.#at;
    const found = pattern.exec(this.#text)?.[0] ?? '';
    this.#at += found.length;
    return found;
  }

  #skip(character: string): boolean {
    if (this.#text[this.#at] !== character) return false;
    this.#at += 1;
    return true;
  }

  #broken(why: string): never {
    throw new BrokenText(this.#at, why);
  }
}
