import { changeBetween } from '../changeBetween.ts';
import type { Block, Place } from '../document.ts';
import { withinLimits } from '../limits.ts';
import { isRefusal, refuse } from '../refusal.ts';
import type { Command } from './command.ts';
import { findSpec, namesOf } from './command.ts';
import type { Fragment } from './copyBlocks.ts';
import { freshIds } from './freshIds.ts';

export interface PasteFragment {
  readonly fragment: Fragment;
  /** How far from where they were copied, in sketch units. */
  readonly by: readonly [number, number];
  /** Further ids not to use again: those that history remembers (`idsInHistory`). */
  readonly taken?: Iterable<string>;
}

/**
 * Puts copies of a fragment's blocks into the patch: new ids, the same settings, the cables among them kept.
 * The change adds the blocks in the fragment's order.
 */
export const pasteFragment: Command<PasteFragment> = (patch, catalogue, { fragment, by, taken }) => {
  if (fragment.blocks.length === 0) return refuse('nothing-chosen', 'There is nothing to paste.');
  if (!by.every(Number.isFinite)) return refuse('not-a-value', 'Copies are placed by two finite numbers, right and down.');
  const nextId = freshIds(patch, taken);
  const labels = new Set(patch.blocks.map((block) => block.label));
  const renamed = new Map<string, string>();
  const blocks: Block[] = [];
  for (const block of fragment.blocks) {
    const spec = findSpec(catalogue, block.type);
    if (isRefusal(spec)) return spec;
    const id = nextId(spec.stem);
    renamed.set(block.id, id);
    const [x, y] = block.at ?? [0, 0];
    blocks.push({ ...block, id, ...(block.label && { label: freshLabel(block.label, labels) }), at: [x + by[0], y + by[1]] });
  }
  const lead = ([id, port]: Place): Place | undefined => {
    const copy = renamed.get(id);
    return copy === undefined ? undefined : [copy, port];
  };
  const cables = fragment.cables.flatMap((cable) => {
    const [from, to] = [lead(cable.from), lead(cable.to)];
    return from && to ? [{ from, to }] : [];
  });
  const after = { ...patch, blocks: [...patch.blocks, ...blocks], cables: [...patch.cables, ...cables] };
  return withinLimits(after) ?? changeBetween(patch, after, `Paste ${namesOf(blocks, catalogue)}`);
};

/** "Low voice" beside another "Low voice" becomes "Low voice 2". */
function freshLabel(label: string, labels: Set<string | undefined>): string {
  const stem = label.replace(/ \d+$/, '');
  let next = label;
  for (let n = 2; labels.has(next); n++) next = `${stem} ${n}`;
  labels.add(next);
  return next;
}
