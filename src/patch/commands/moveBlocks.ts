import { changeBetween } from '../changeBetween.ts';
import { isRefusal, refuse } from '../refusal.ts';
import type { Command } from './command.ts';
import { findBlocks, namesOf } from './command.ts';

export interface MoveBlocks {
  readonly ids: readonly string[];
  /** Right and down, in sketch units. */
  readonly by: readonly [number, number];
}

/** Moves blocks together. A block without a place counts from [0, 0]. */
export const moveBlocks: Command<MoveBlocks> = (patch, catalogue, { ids, by }) => {
  const blocks = findBlocks(patch, ids);
  if (isRefusal(blocks)) return blocks;
  if (!by.every(Number.isFinite)) return refuse('not-a-value', 'Blocks move by two finite numbers, right and down.');
  const moving = new Set(ids);
  const after = patch.blocks.map((block) => {
    if (!moving.has(block.id)) return block;
    const [x, y] = block.at ?? [0, 0];
    return { ...block, at: [x + by[0], y + by[1]] as const };
  });
  return changeBetween(patch, { ...patch, blocks: after }, `Move ${namesOf(blocks, catalogue)}`);
};
