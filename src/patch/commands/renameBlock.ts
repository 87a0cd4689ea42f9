import { changeBetween } from '../changeBetween.ts';
import type { Block } from '../document.ts';
import { isRefusal } from '../refusal.ts';
import type { Command } from './command.ts';
import { findBlock, labelOf } from './command.ts';

export interface RenameBlock {
  readonly block: string;
  /** Empty: the block goes by its id again. */
  readonly label: string;
}

/** Changes a block's label; its id stays, because cables, randomness and loops hang on it. */
export const renameBlock: Command<RenameBlock> = (patch, _catalogue, { block: id, label }) => {
  const block = findBlock(patch, id);
  if (isRefusal(block)) return block;
  const { label: _old, ...rest } = block;
  const text = label.replace(/\s+/g, ' ').trim();
  // A new name goes after the type, where the file keeps it.
  const renamed: Block = text && text !== id ? { ...rest, label: text } : rest;
  const after = patch.blocks.map((other) => (other === block ? renamed : other));
  return changeBetween(patch, { ...patch, blocks: after }, `Rename ${labelOf(block)}`);
};
