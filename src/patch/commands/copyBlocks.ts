import type { Catalogue } from '../blockSpec.ts';
import type { Block, Cable, Patch, Recording } from '../document.ts';
import { playedRecordings } from '../recordings.ts';
import type { Refusal } from '../refusal.ts';
import { isRefusal } from '../refusal.ts';
import { findBlocks } from './command.ts';

/** Part of a patch, to be pasted: blocks, the cables between them and the recordings that they play. */
export interface Fragment {
  readonly blocks: readonly Block[];
  readonly cables: readonly Cable[];
  readonly recordings?: readonly Recording[];
}

export interface CopyBlocks {
  readonly ids: readonly string[];
}

/** Copies blocks with the cables among them and the recordings that they play. */
export function copyBlocks(patch: Patch, catalogue: Catalogue, { ids }: CopyBlocks): Fragment | Refusal {
  const blocks = findBlocks(patch, ids);
  if (isRefusal(blocks)) return blocks;
  const inside = new Set(ids);
  const cables = patch.cables.filter((cable) => inside.has(cable.from[0]) && inside.has(cable.to[0]));
  const played = playedRecordings({ blocks, cables }, catalogue);
  const recordings = (patch.recordings ?? []).filter(({ id }) => played.has(id));
  return { blocks, cables, ...(recordings.length > 0 && { recordings }) };
}
