import { changeBetween } from '../changeBetween.ts';
import type { Block } from '../document.ts';
import { withinLimits } from '../limits.ts';
import { isRefusal, refuse } from '../refusal.ts';
import type { Command } from './command.ts';
import { findSpec } from './command.ts';
import { freshIds } from './freshIds.ts';

export interface AddBlock {
  readonly type: string;
  /** Centre on the sketch, in sketch units. */
  readonly at: readonly [number, number];
  /** Left out, the block goes by its id. */
  readonly label?: string;
  /** Further ids not to use again: those that history remembers (`idsInHistory`). */
  readonly taken?: Iterable<string>;
}

/** Places a new block of a type, with all settings at their defaults. */
export const addBlock: Command<AddBlock> = (patch, catalogue, { type, at, label, taken }) => {
  const spec = findSpec(catalogue, type);
  if (isRefusal(spec)) return spec;
  if (!at.every(Number.isFinite)) return refuse('not-a-value', 'A block needs a place on the sketch: two finite numbers.');
  const id = freshIds(patch, taken)(spec.stem);
  const block: Block = { id, type, ...(label?.trim() && { label: label.trim() }), at: [at[0], at[1]] };
  const after = { ...patch, blocks: [...patch.blocks, block] };
  return withinLimits(after) ?? changeBetween(patch, after, `Add ${spec.title}`);
};
