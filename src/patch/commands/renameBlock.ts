import { changeBetween } from '../changeBetween.ts';
import type { Block } from '../document.ts';
import { blockLabel } from '../label.ts';
import { isRefusal } from '../refusal.ts';
import type { Command } from './command.ts';
import { findBlock } from './command.ts';

export interface RenameBlock {
  readonly block: string;
  /** Empty: the label is taken away. */
  readonly label: string;
}

/** Changes a block's label; its id stays, because cables, randomness and loops hang on it. */
export const renameBlock: Command<RenameBlock> = (patch, catalogue, { block: id, label }) => {
  const block = findBlock(patch, id);
  if (isRefusal(block)) return block;
  const { label: _old, ...rest } = block;
  // A space at the end may be the start of the next word, as names are typed letter by letter.
  const text = label.replace(/\s+/g, ' ').trimStart();
  const renamed: Block = text ? { ...rest, label: text } : rest;
  const after = patch.blocks.map((other) => (other === block ? renamed : other));
  return changeBetween(patch, { ...patch, blocks: after }, `Rename ${blockLabel(block, catalogue.get(block.type))}`);
};
