import { changeBetween } from '../changeBetween.ts';
import type { Patch, Place, Stage, Variation, VariationChange } from '../document.ts';
import { withoutUnused } from '../recordings.ts';
import { isRefusal } from '../refusal.ts';
import type { Command } from './command.ts';
import { findBlocks, namesOf } from './command.ts';

export interface RemoveBlocks {
  readonly ids: readonly string[];
}

/**
 * Takes blocks away with all that hangs on them: cables, probes, moves, their mention in variations and stages, and
 * recordings that nothing else plays.
 */
export const removeBlocks: Command<RemoveBlocks> = (patch, catalogue, { ids }) => {
  const blocks = findBlocks(patch, ids);
  if (isRefusal(blocks)) return blocks;
  const after = withoutUnused(patch, withoutBlocks(patch, new Set(ids)), catalogue);
  return changeBetween(patch, after, `Remove ${namesOf(blocks, catalogue)}`);
};

/** The patch without some blocks and without all that hangs on them. */
export function withoutBlocks(patch: Patch, gone: ReadonlySet<string>): Patch {
  const stays = ([id]: Place): boolean => !gone.has(id);
  return {
    ...patch,
    blocks: patch.blocks.filter((block) => !gone.has(block.id)),
    cables: patch.cables.filter((cable) => stays(cable.from) && stays(cable.to)),
    ...filled('probes', patch.probes, (list) => list.filter((probe) => stays(probe.at))),
    ...filled('moves', patch.moves, (list) => list.filter((move) => !gone.has(move.block))),
    ...filled('variations', patch.variations, (list) => list.map((variation) => thinVariation(variation, gone))),
    ...filled('stages', patch.stages, (list) => list.map((stage) => thinStage(stage, gone))),
  };
}

/** A list field after thinning; one that comes out empty is absent. */
function filled<Field extends keyof Patch, T>(
  field: Field,
  list: readonly T[] | undefined,
  thin: (list: readonly T[]) => readonly T[],
): { [K in Field]?: readonly T[] | undefined } {
  const kept = list && thin(list);
  return { [field]: kept?.length ? kept : undefined } as { [K in Field]?: readonly T[] | undefined };
}

function thinVariation(variation: Variation, gone: ReadonlySet<string>): Variation {
  // A variation that brings in a block of that name itself goes on speaking of its own.
  const own = new Set<string>();
  const stays = ([id]: Place): boolean => own.has(id) || !gone.has(id);
  const changes = variation.changes.filter((change: VariationChange) => {
    if ('add' in change) own.add(change.add.id);
    if ('set' in change) return stays(change.set);
    if ('connect' in change) return stays(change.connect.from) && stays(change.connect.to);
    if ('disconnect' in change) return stays(change.disconnect);
    return 'add' in change || stays([change.remove, '']);
  });
  return { ...variation, changes };
}

function thinStage(stage: Stage, gone: ReadonlySet<string>): Stage {
  const { blocks, cables, settings, ...rest } = stage;
  return {
    ...rest,
    ...(blocks && { blocks: blocks.filter((id) => !gone.has(id)) }),
    ...(cables && { cables: cables.filter(([id]) => !gone.has(id)) }),
    ...(settings && { settings: settings.filter(([id]) => !gone.has(id)) }),
  };
}
