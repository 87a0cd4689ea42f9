/**
 * Questions that need a rendering to be answered, by name. Each is a pure function of a patch, so that page, worker, command line and
 * tests ask alike; what goes in and comes out is plain data that can be sent between threads.
 */
import type { Patch } from '../patch/document.ts';
import { explain } from './explain/explain.ts';
import type { Finding } from './finding.ts';
import type { Hearing } from './heard.ts';
import { whatMoves } from './moves/moves.ts';
import { reasons } from './reasons/index.ts';
import { type Silence, type SilenceOptions, silence } from './silent/index.ts';
import { hearForChecks, takeFindings } from './takeFindings.ts';

/** What is answered: anything that `structuredClone` copies. */
export type Question<Args, Answer> = (hearing: Hearing, patch: Patch, args: Args) => Answer;

export const questions = {
  /** What do the checks find in a take? */
  checks: (hearing: Hearing, patch: Patch, options: { readonly seconds?: number }): readonly Finding[] =>
    takeFindings(hearForChecks(hearing, patch, options)),
  /** Why is it so loud, distorted, out of tune, off the beat? */
  reasons,
  /** Is anything heard at all, and how loud is its highest sample (full scale 1)? */
  peak: (hearing: Hearing, patch: Patch, { seconds }: { readonly seconds?: number }): number => {
    const { left, right } = hearing.hear(patch, seconds === undefined ? {} : { seconds });
    return [left, right].reduce((most, side) => side.reduce((peak, x) => Math.max(peak, Math.abs(x)), most), 0);
  },
  /** What does it do, in plain sentences, and which constructions of the trade does it hold? */
  explain,
  /** What moves an input or a setting, as shares? */
  moves: whatMoves,
  /** Why is nothing heard? */
  silence: (hearing: Hearing, patch: Patch, options: SilenceOptions): Silence => silence(hearing, patch, options),
};

export type Questions = typeof questions;
export type QuestionName = keyof Questions;
export type ArgsOf<Name extends QuestionName> = Parameters<Questions[Name]>[2];
export type AnswerOf<Name extends QuestionName> = ReturnType<Questions[Name]>;
