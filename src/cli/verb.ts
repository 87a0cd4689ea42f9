/** What every verb of the command line is made of. */
import type { ParseArgsConfig } from 'node:util';

/** The outside world as a verb sees it. */
export interface Terminal {
  /** Results, to standard output. */
  out(text: string): void;
  /** Errors and notes, one line each, to standard error. */
  err(line: string): void;
  /** A progress line that the next one overwrites; nothing where standard error is not a terminal. */
  progress(line: string): void;
}

export type Options = NonNullable<ParseArgsConfig['options']>;
export type OptionValues = Readonly<Record<string, string | boolean | readonly (string | boolean)[] | undefined>>;

export interface Verb {
  /** Arguments as they are written after the verb. */
  readonly usage: string;
  readonly say: string;
  readonly options: Options;
  /** Fewest and most positional arguments. */
  readonly takes: readonly [fewest: number, most: number];
  /** Returns the exit status: DONE or REFUSED. Throws WrongUsage. */
  run(args: readonly string[], options: OptionValues, terminal: Terminal): Promise<number> | number;
}

/** Exit statuses. */
export const DONE = 0;
/** A refused document, or findings of severity error in `check`. */
export const REFUSED = 1;
export const WRONG_USAGE = 2;

/** Thrown where the command line itself is wrong; the message is one plain line. */
export class WrongUsage extends Error {}

export function text(options: OptionValues, name: string): string | undefined {
  const value = options[name];
  return typeof value === 'string' ? value : undefined;
}

/** All values of an option that may be given more than once. */
export function texts(options: OptionValues, name: string): readonly string[] {
  const value = options[name];
  return Array.isArray(value) ? value.filter((one): one is string => typeof one === 'string') : [];
}

/** A number between two bounds, both allowed; undefined where the option is not given. */
export function numberOption(options: OptionValues, name: string, minimum: number, maximum: number): number | undefined {
  const written = text(options, name);
  if (written === undefined) return undefined;
  const value = written.trim() === '' ? Number.NaN : Number(written);
  if (value >= minimum && value <= maximum) return value;
  throw new WrongUsage(`--${name} takes a number from ${minimum} to ${maximum}, not "${written}"`);
}

/** One of a few words; undefined where the option is not given. */
export function wordOption<Word extends string>(options: OptionValues, name: string, words: readonly Word[]): Word | undefined {
  const written = text(options, name);
  if (written === undefined) return undefined;
  const word = words.find((one) => one === written);
  if (word !== undefined) return word;
  throw new WrongUsage(`--${name} takes ${words.join(', ')}, not "${written}"`);
}
