/** What a question of `explain` is given, and what it gives back. */
import type { Hearing } from '../../insight/heard.ts';
import type { Patch, Place } from '../../patch/document.ts';

export interface Asked {
  readonly patch: Patch;
  /** Renders with the sound files that lie beside the patch. */
  readonly hearing: Hearing;
  /** Undefined: the patch's own length. */
  readonly seconds: number | undefined;
  /** The input asked about; always there for a question about one. */
  readonly input: Place | undefined;
}

export interface Answered {
  /** For people: one line each. */
  readonly lines: readonly string[];
  /** For programs: what JSON can hold. */
  readonly record: object;
}

export type Answer = (asked: Asked) => Answered;
