/** Variations: named lists of changes to the same patch. */
import { type Block, type Patch, samePlace, type VariationChange } from './document.ts';

/** The patch with the changes made one after the other. The changes must fit the patch, as those of a document that was read do. */
export function applyVariation(patch: Patch, changes: readonly VariationChange[]): Patch {
  return changes.reduce(applyOne, patch);
}

function applyOne(patch: Patch, change: VariationChange): Patch {
  if ('set' in change) {
    const [id, setting] = change.set;
    const set = (block: Block): Block => ({ ...block, settings: { ...block.settings, [setting]: change.value } });
    return { ...patch, blocks: patch.blocks.map((block) => (block.id === id ? set(block) : block)) };
  }
  if ('add' in change) return { ...patch, blocks: [...patch.blocks, change.add] };
  if ('remove' in change) return withoutBlock(patch, change.remove);
  const input = 'connect' in change ? change.connect.to : change.disconnect;
  const cables = patch.cables.filter(({ to }) => !samePlace(to, input));
  return { ...patch, cables: 'connect' in change ? [...cables, change.connect] : cables };
}

function withoutBlock(patch: Patch, id: string): Patch {
  return {
    ...patch,
    blocks: patch.blocks.filter((block) => block.id !== id),
    cables: patch.cables.filter(({ from, to }) => from[0] !== id && to[0] !== id),
    ...(patch.moves && { moves: patch.moves.filter(({ block }) => block !== id) }),
    ...(patch.probes && { probes: patch.probes.filter(({ at }) => at[0] !== id) }),
  };
}
