/** A variation is a named list of changes to the patch that holds it; here it becomes a patch of its own. */
import { withoutBlocks } from './commands/removeBlocks.ts';
import type { Block, Patch, Variation, VariationChange } from './document.ts';
import { samePlace } from './document.ts';

/** The patch with the variation's changes made, one after the other; the variation itself is as valid as the file check left it. */
export function applyVariation(patch: Patch, variation: Variation): Patch {
  return variation.changes.reduce(applyOne, patch);
}

function applyOne(patch: Patch, change: VariationChange): Patch {
  if ('set' in change) {
    const [id, setting] = change.set;
    const set = (block: Block): Block => (block.id === id ? { ...block, settings: { ...block.settings, [setting]: change.value } } : block);
    return { ...patch, blocks: patch.blocks.map(set) };
  }
  if ('connect' in change) {
    const others = patch.cables.filter((cable) => !samePlace(cable.to, change.connect.to));
    return { ...patch, cables: [...others, change.connect] };
  }
  if ('disconnect' in change) return { ...patch, cables: patch.cables.filter((cable) => !samePlace(cable.to, change.disconnect)) };
  if ('add' in change) return { ...patch, blocks: [...patch.blocks, change.add] };
  return withoutBlocks(patch, new Set([change.remove]));
}
