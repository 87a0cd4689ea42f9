import { changeBetween } from '../changeBetween.ts';
import { isRefusal, refuse } from '../refusal.ts';
import type { Command } from './command.ts';
import { findBlocks } from './command.ts';

export interface PlaceBlocks {
  /** New centres by block id, in sketch units. */
  readonly places: ReadonlyMap<string, readonly [number, number]>;
  /** Name of the undo step. */
  readonly label?: string;
}

/** Puts many blocks where a layout wants them. */
export const placeBlocks: Command<PlaceBlocks> = (patch, _catalogue, { places, label = 'Tidy' }) => {
  const blocks = findBlocks(patch, [...places.keys()]);
  if (isRefusal(blocks)) return blocks;
  for (const at of places.values()) {
    if (!at.every(Number.isFinite)) return refuse('not-a-value', 'A block needs a place on the sketch: two finite numbers.');
  }
  const after = patch.blocks.map((block) => {
    const at = places.get(block.id);
    return at ? { ...block, at: [at[0], at[1]] as const } : block;
  });
  return changeBetween(patch, { ...patch, blocks: after }, label);
};
