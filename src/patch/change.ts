/**
 * An edit as data: what came, what went, what differs. A change fits exactly one state of the document and
 * knows the way back, so that history, gestures and autosave need no copies of the patch.
 * Blocks and cables carry their position in the list: undoing a removal restores the file's order too.
 */
import type { Block, Cable, Patch } from './document.ts';
import { placeName } from './document.ts';
import { sameData } from './sameData.ts';

/** Every field of a patch besides blocks and cables. */
export type Details = Omit<Patch, 'blocks' | 'cables'>;

/** [position in the list, record]; `removed` counts in the list before the change, `added` in the list after it. */
export type Placed<T> = readonly [index: number, record: T];

export interface BlocksChange {
  readonly added: readonly Placed<Block>[];
  readonly removed: readonly Placed<Block>[];
  /** [before, after]: same id, same position. */
  readonly updated: readonly (readonly [before: Block, after: Block])[];
}

export interface CablesChange {
  readonly added: readonly Placed<Cable>[];
  readonly removed: readonly Placed<Cable>[];
}

export interface Change {
  /** What the step is called in the undo menu: "Move 3 blocks". */
  readonly label: string;
  readonly blocks?: BlocksChange;
  readonly cables?: CablesChange;
  /** Fields before and after; a field missing on one side is absent from the document there. */
  readonly details?: readonly [before: Partial<Details>, after: Partial<Details>];
}

type Key<T> = (record: T) => string;
type ListChange<T> = {
  readonly added: readonly Placed<T>[];
  readonly removed: readonly Placed<T>[];
  readonly updated: readonly (readonly [T, T])[];
};

const blockKey: Key<Block> = (block) => block.id;
const cableKey: Key<Cable> = (cable) => placeName(cable.to);

/** The document after the change. Throws an Error if the change was made for another state of the document (a programmer's error). */
export function applyChange(patch: Patch, change: Change): Patch {
  const blocks = change.blocks ? applyList(patch.blocks, change.blocks, blockKey, 'block') : patch.blocks;
  const cables = change.cables ? applyList(patch.cables, { ...change.cables, updated: [] }, cableKey, 'cable') : patch.cables;
  return { ...(change.details ? applyDetails(patch, change.details) : patch), blocks, cables };
}

/** The change that undoes this one. */
export function invertChange(change: Change): Change {
  const { label, blocks, cables, details } = change;
  return {
    label,
    ...(blocks && {
      blocks: { added: blocks.removed, removed: blocks.added, updated: blocks.updated.map(([before, after]) => [after, before] as const) },
    }),
    ...(cables && { cables: { added: cables.removed, removed: cables.added } }),
    ...(details && { details: [details[1], details[0]] as const }),
  };
}

/** One change that does what `first` and then `second` do; parts that cancel out are dropped. */
export function composeChanges(first: Change, second: Change, label: string = first.label): Change {
  const blocks = composeLists(first.blocks ?? none, second.blocks ?? none, blockKey, () => true);
  const { added, removed } = composeLists({ ...none, ...first.cables }, { ...none, ...second.cables }, cableKey, sameData);
  const details = composeDetails(first.details, second.details);
  return {
    label,
    ...(blocks.added.length + blocks.removed.length + blocks.updated.length > 0 && { blocks }),
    ...(added.length + removed.length > 0 && { cables: { added, removed } }),
    ...(details && { details }),
  };
}

/** Does the change leave the document as it is? */
export function isEmptyChange(change: Change): boolean {
  const { blocks, cables, details } = composeChanges(change, { label: '' });
  return !blocks && !cables && !details;
}

/** The blocks a change brings in, for selecting what was just placed or pasted. */
export function addedBlocks(change: Change): readonly Block[] {
  return change.blocks?.added.map(([, block]) => block) ?? [];
}

const none: ListChange<never> = { added: [], removed: [], updated: [] };

function applyList<T>(list: readonly T[], change: ListChange<T>, key: Key<T>, what: string): readonly T[] {
  const updates = new Map(change.updated.map(([before, after]) => [key(before), [before, after] as const]));
  const removals = new Map(change.removed.map(([, record]) => [key(record), record]));
  const kept: T[] = [];
  for (const record of list) {
    const id = key(record);
    if (removals.has(id)) {
      if (!sameData(removals.get(id), record)) throw misfit(`the ${what} "${id}" to be removed is not the one in the document`);
      removals.delete(id);
      continue;
    }
    const update = updates.get(id);
    if (update && !sameData(update[0], record)) throw misfit(`the ${what} "${id}" to be changed is not the one in the document`);
    updates.delete(id);
    kept.push(update ? update[1] : record);
  }
  for (const id of [...removals.keys(), ...updates.keys()]) throw misfit(`there is no ${what} "${id}" in the document`);
  if (change.added.length === 0) return kept;
  const taken = new Set(kept.map(key));
  const additions = [...change.added].sort((a, b) => a[0] - b[0]);
  const result: T[] = [];
  let next = 0;
  for (const [index, record] of additions) {
    if (taken.has(key(record))) throw misfit(`the document already has a ${what} "${key(record)}"`);
    taken.add(key(record));
    while (result.length < index && next < kept.length) result.push(kept[next++] as T);
    if (result.length !== index) throw misfit(`position ${index} of ${what} "${key(record)}" lies beyond the list`);
    result.push(record);
  }
  return [...result, ...kept.slice(next)];
}

function applyDetails(patch: Patch, [before, after]: readonly [Partial<Details>, Partial<Details>]): Patch {
  const result: Record<string, unknown> = { ...patch };
  const old: Record<string, unknown> = { ...before };
  for (const field of Object.keys({ ...before, ...after })) {
    if (!sameData(result[field], old[field])) throw misfit(`the field "${field}" is not as the change expects it`);
    delete result[field];
  }
  return { ...result, ...after } as Patch;
}

function misfit(why: string): Error {
  return new Error(`The change does not fit the document: ${why}.`);
}

/** Positions through the list in the middle: which records of the first and the last list the two changes touch. */
function composeLists<T>(first: ListChange<T>, second: ListChange<T>, key: Key<T>, mayMerge: (gone: T, back: T) => boolean): ListChange<T> {
  const goneBefore = indices(first.removed);
  const cameBetween = indices(first.added);
  const goneBetween = indices(second.removed);
  const cameAfter = indices(second.added);
  const firstUpdates = new Map(first.updated.map((pair) => [key(pair[0]), pair]));
  const secondUpdates = new Map(second.updated.map((pair) => [key(pair[0]), pair]));
  const addedKeys = new Set(first.added.map(([, record]) => key(record)));
  const removedKeys = new Set(second.removed.map(([, record]) => key(record)));

  const removed: Placed<T>[] = [...first.removed];
  for (const [index, record] of second.removed) {
    if (addedKeys.has(key(record))) continue;
    removed.push([indexAround(rankWithout(index, cameBetween), goneBefore), firstUpdates.get(key(record))?.[0] ?? record]);
  }
  const added: Placed<T>[] = [...second.added];
  for (const [index, record] of first.added) {
    if (removedKeys.has(key(record))) continue;
    added.push([indexAround(rankWithout(index, goneBetween), cameAfter), secondUpdates.get(key(record))?.[1] ?? record]);
  }
  const updated: (readonly [T, T])[] = [];
  for (const [id, [before, after]] of firstUpdates) {
    if (!removedKeys.has(id)) updated.push([before, secondUpdates.get(id)?.[1] ?? after]);
  }
  for (const [id, pair] of secondUpdates) {
    if (!firstUpdates.has(id) && !addedKeys.has(id)) updated.push(pair);
  }
  return mergeReturns({ removed: sortPlaced(removed), added: sortPlaced(added), updated }, key, mayMerge);
}

/** A record that went and came back to its old place was at most updated. */
function mergeReturns<T>(change: ListChange<T>, key: Key<T>, mayMerge: (gone: T, back: T) => boolean): ListChange<T> {
  let { removed, added } = change;
  const updated = [...change.updated];
  for (const gone of change.removed) {
    const back = added.find(([, record]) => key(record) === key(gone[1]));
    if (!back || !mayMerge(gone[1], back[1])) continue;
    const otherRemoved = removed.filter((other) => other !== gone);
    const otherAdded = added.filter((other) => other !== back);
    if (rankWithout(gone[0], indices(otherRemoved)) !== rankWithout(back[0], indices(otherAdded))) continue;
    removed = otherRemoved;
    added = otherAdded;
    updated.push([gone[1], back[1]]);
  }
  return { removed, added, updated: updated.filter(([before, after]) => !sameData(before, after)) };
}

function composeDetails(first: Change['details'], second: Change['details']): Change['details'] {
  const [firstBefore, firstAfter] = first ?? [{}, {}];
  const [secondBefore, secondAfter] = second ?? [{}, {}];
  const before: Record<string, unknown> = { ...secondBefore };
  for (const field of Object.keys({ ...firstBefore, ...firstAfter })) delete before[field];
  Object.assign(before, firstBefore);
  const after: Record<string, unknown> = { ...firstAfter };
  for (const field of Object.keys({ ...secondBefore, ...secondAfter })) delete after[field];
  Object.assign(after, secondAfter);
  for (const field of Object.keys({ ...before, ...after })) {
    if (!sameData(before[field], after[field])) continue;
    delete before[field];
    delete after[field];
  }
  return Object.keys({ ...before, ...after }).length ? [before, after] : undefined;
}

const indices = (placed: readonly Placed<unknown>[]): readonly number[] => placed.map(([index]) => index).sort((a, b) => a - b);

const sortPlaced = <T>(placed: readonly Placed<T>[]): readonly Placed<T>[] => [...placed].sort((a, b) => a[0] - b[0]);

/** Position of `index` when the records at `holes` (ascending, without `index`) are left out. */
function rankWithout(index: number, holes: readonly number[]): number {
  let below = 0;
  for (const hole of holes) if (hole < index) below += 1;
  return index - below;
}

/** The inverse: where the record of that rank lies when the `holes` (ascending) are filled. */
function indexAround(rank: number, holes: readonly number[]): number {
  let index = rank;
  for (const hole of holes) if (hole <= index) index += 1;
  return index;
}
