/**
 * Questions that need a rendering to be answered, by name. Each is a pure function of a patch, so that page, worker, command line and
 * tests ask alike; what goes in and comes out is plain data that can be sent between threads.
 */
import type { Patch } from '../patch/document.ts';
import type { Hearing } from './heard.ts';
import { whatMoves } from './moves/moves.ts';

/** What is answered: anything that `structuredClone` copies. */
export type Question<Args, Answer> = (hearing: Hearing, patch: Patch, args: Args) => Answer;

export const questions = {
  /** Is anything heard at all, and how loud is its highest sample (full scale 1)? */
  peak: (hearing: Hearing, patch: Patch, { seconds }: { readonly seconds?: number }): number => {
    const { left, right } = hearing.hear(patch, seconds === undefined ? {} : { seconds });
    return [left, right].reduce((most, side) => side.reduce((peak, x) => Math.max(peak, Math.abs(x)), most), 0);
  },
  /** What moves an input or a setting, as shares? */
  moves: whatMoves,
};

export type Questions = typeof questions;
export type QuestionName = keyof Questions;
export type ArgsOf<Name extends QuestionName> = Parameters<Questions[Name]>[2];
export type AnswerOf<Name extends QuestionName> = ReturnType<Questions[Name]>;
