/** Sizes beyond which a patch is refused, from the file or by hand. */
import type { Patch } from './document.ts';
import type { Refusal } from './refusal.ts';
import { refuse } from './refusal.ts';

export const MAXIMUM_BLOCKS = 2000;
export const MAXIMUM_CABLES = 8000;
/** Size of a patch file, in bytes. */
export const MAXIMUM_BYTES = 20_000_000;
/** Longest take and latest time in a score or a move, in seconds: a day. */
export const MAXIMUM_SECONDS = 86_400;
/** Longest recording a patch may carry, in seconds. */
export const MAXIMUM_RECORDING_SECONDS = 30;
/** Size of a recording's sound file, in bytes. */
export const MAXIMUM_RECORDING_BYTES = 10_000_000;

/** A refusal if the patch would outgrow the limits. */
export function checkLimits(blocks: number, cables: number): Refusal | undefined {
  if (blocks > MAXIMUM_BLOCKS) return refuse('too-many', `A patch holds at most ${MAXIMUM_BLOCKS} blocks; this would make ${blocks}.`);
  if (cables > MAXIMUM_CABLES) return refuse('too-many', `A patch holds at most ${MAXIMUM_CABLES} cables; this would make ${cables}.`);
  return undefined;
}

export function withinLimits(patch: Patch): Refusal | undefined {
  return checkLimits(patch.blocks.length, patch.cables.length);
}
