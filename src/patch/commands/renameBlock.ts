import { changeBetween } from '../changeBetween.ts';
import type { Block } from '../document.ts';
import { blockLabel } from '../label.ts';
import { isRefusal } from '../refusal.ts';
import type { Command } from './command.ts';
import { findBlock } from './command.ts';

export interface RenameBlock {
  readonly block: string;
  /** Empty, or the name it would have anyway: the label is taken away. */
  readonly label: string;
}

/** Changes a block's label; its id stays, because cables, randomness and loops hang on it. */
export const renameBlock: Command<RenameBlock> = (patch, catalogue, { block: id, label }) => {
  const block = findBlock(patch, id);
  if (isRefusal(block)) return block;
  const spec = catalogue.get(block.type);
  const { label: _old, ...rest } = block;
  const text = label.replace(/\s+/g, ' ').trim();
  const renamed: Block = text && text !== blockLabel(rest, spec) ? { ...rest, label: text } : rest;
  const after = patch.blocks.map((other) => (other === block ? renamed : other));
  return changeBetween(patch, { ...patch, blocks: after }, `Rename ${blockLabel(block, spec)}`);
};
