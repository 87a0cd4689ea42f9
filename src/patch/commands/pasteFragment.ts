import type { BlockSpec } from '../blockSpec.ts';
import { changeBetween } from '../changeBetween.ts';
import type { Block, Patch, Place, Recording } from '../document.ts';
import { withinLimits } from '../limits.ts';
import { isRecordingSetting } from '../recordings.ts';
import { isRefusal, refuse } from '../refusal.ts';
import { recordingId } from './addRecording.ts';
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
 * Puts copies of a fragment's blocks into the patch: new ids, the same settings, the cables among them and their recordings kept.
 * The change adds the blocks in the fragment's order.
 */
export const pasteFragment: Command<PasteFragment> = (patch, catalogue, { fragment, by, taken }) => {
  if (fragment.blocks.length === 0) return refuse('nothing-chosen', 'There is nothing to paste.');
  if (!by.every(Number.isFinite)) return refuse('not-a-value', 'Copies are placed by two finite numbers, right and down.');
  const nextId = freshIds(patch, taken);
  const labels = new Set(patch.blocks.map((block) => block.label));
  const renamed = new Map<string, string>();
  const blocks: Block[] = [];
  const { list: recordings, renamed: newIds } = joinRecordings(patch.recordings ?? [], fragment.recordings ?? []);
  for (const block of fragment.blocks) {
    const spec = findSpec(catalogue, block.type);
    if (isRefusal(spec)) return spec;
    const id = nextId(spec.stem);
    renamed.set(block.id, id);
    const [x, y] = block.at ?? [0, 0];
    blocks.push({
      ...playing(block, spec, newIds),
      id,
      ...(block.label && { label: freshLabel(block.label, labels) }),
      at: [x + by[0], y + by[1]],
    });
  }
  const lead = ([id, port]: Place): Place | undefined => {
    const copy = renamed.get(id);
    return copy === undefined ? undefined : [copy, port];
  };
  const cables = fragment.cables.flatMap((cable) => {
    const [from, to] = [lead(cable.from), lead(cable.to)];
    return from && to ? [{ from, to }] : [];
  });
  const after: Patch = {
    ...patch,
    blocks: [...patch.blocks, ...blocks],
    cables: [...patch.cables, ...cables],
    ...(recordings.length > 0 && { recordings }),
  };
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

interface Joined {
  readonly list: readonly Recording[];
  /** Ids in the joined list by ids in the fragment. */
  readonly renamed: ReadonlyMap<string, string>;
}

/** A sound file that both have (the same sha256) is listed once; one whose id is taken gets another. */
function joinRecordings(there: readonly Recording[], brought: readonly Recording[]): Joined {
  const list = [...there];
  const renamed = new Map<string, string>();
  for (const recording of brought) {
    const known = list.find(({ sha256 }) => sha256 === recording.sha256);
    const taken = list.map(({ id }) => id);
    const id = known?.id ?? (taken.includes(recording.id) ? recordingId(recording.name, taken) : recording.id);
    if (!known) list.push({ ...recording, id });
    renamed.set(recording.id, id);
  }
  return { list: list.length > there.length ? list : there, renamed };
}

/** The block with the new ids of its recordings. */
function playing(block: Block, spec: BlockSpec, renamed: ReadonlyMap<string, string>): Block {
  const changed = Object.entries(block.settings ?? {}).filter(
    ([id, value]) => isRecordingSetting(spec, id) && (renamed.get(String(value)) ?? value) !== value,
  );
  if (changed.length === 0) return block;
  return {
    ...block,
    settings: { ...block.settings, ...Object.fromEntries(changed.map(([id, value]) => [id, renamed.get(String(value)) ?? ''])) },
  };
}
