/** The change that leads from one document to another: commands compute what should be and describe it with this. */
import type { Change, Placed } from './change.ts';
import type { Patch } from './document.ts';
import { placeName } from './document.ts';
import { sameData } from './sameData.ts';

/** Records that both documents share are found by reference first, so a small edit of a large patch is cheap. */
export function changeBetween(before: Patch, after: Patch, label: string): Change {
  const blocks = listChange(before.blocks, after.blocks, (block) => block.id);
  const cables = listChange(before.cables, after.cables, (cable) => placeName(cable.to));
  // A cable that differs is one removed and one added at the same input.
  const replaced = { removed: cables.updated.map(([gone]) => gone), added: cables.updated.map(([, come]) => come) };
  const removedCables = [...cables.removed, ...place(before.cables, replaced.removed)].sort(byIndex);
  const addedCables = [...cables.added, ...place(after.cables, replaced.added)].sort(byIndex);
  const details = detailsChange(before, after);
  return {
    label,
    ...(blocks.added.length + blocks.removed.length + blocks.updated.length > 0 && { blocks }),
    ...(removedCables.length + addedCables.length > 0 && { cables: { added: addedCables, removed: removedCables } }),
    ...(details && { details }),
  };
}

function listChange<T>(before: readonly T[], after: readonly T[], key: (record: T) => string) {
  const added: Placed<T>[] = [];
  const updated: (readonly [T, T])[] = [];
  const stays = new Set<string>();
  const positions = new Map(before.map((record, i) => [key(record), i]));
  let last = -1;
  for (const [index, record] of after.entries()) {
    const was = positions.get(key(record));
    // A record that moved up past one that stays is taken out and put in.
    if (was === undefined || was <= last) {
      added.push([index, record]);
      continue;
    }
    last = was;
    stays.add(key(record));
    const old = before[was] as T;
    if (old !== record && !sameData(old, record)) updated.push([old, record]);
  }
  const removed = before.flatMap((record, i): Placed<T>[] => (stays.has(key(record)) ? [] : [[i, record]]));
  return { added, removed, updated };
}

function place<T>(list: readonly T[], records: readonly T[]): Placed<T>[] {
  return records.map((record) => [list.indexOf(record), record]);
}

const byIndex = (a: Placed<unknown>, b: Placed<unknown>): number => a[0] - b[0];

function detailsChange(before: Patch, after: Patch): Change['details'] {
  const { blocks: _b, cables: _c, ...old }: Record<string, unknown> = { ...before };
  const { blocks: _d, cables: _e, ...fresh }: Record<string, unknown> = { ...after };
  for (const field of Object.keys({ ...old, ...fresh })) {
    const same = sameData(old[field], fresh[field]);
    if (same || old[field] === undefined) delete old[field];
    if (same || fresh[field] === undefined) delete fresh[field];
  }
  return Object.keys({ ...old, ...fresh }).length ? [old, fresh] : undefined;
}
