import type { Catalogue } from '../blockSpec.ts';
import type { Block, Cable, Patch } from '../document.ts';
import type { Refusal } from '../refusal.ts';
import { isRefusal } from '../refusal.ts';
import { findBlocks } from './command.ts';

/** Part of a patch, to be pasted: blocks and the cables between them. */
export interface Fragment {
  readonly blocks: readonly Block[];
  readonly cables: readonly Cable[];
}

export interface CopyBlocks {
  readonly ids: readonly string[];
}

/** Copies blocks with the cables among them. */
export function copyBlocks(patch: Patch, _catalogue: Catalogue, { ids }: CopyBlocks): Fragment | Refusal {
  const blocks = findBlocks(patch, ids);
  if (isRefusal(blocks)) return blocks;
  const inside = new Set(ids);
  return { blocks, cables: patch.cables.filter((cable) => inside.has(cable.from[0]) && inside.has(cable.to[0])) };
}
