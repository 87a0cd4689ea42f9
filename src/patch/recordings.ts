/** Which blocks of a patch play which of its recordings. */
import type { BlockSpec, Catalogue, SettingValue } from './blockSpec.ts';
import type { Block, Patch } from './document.ts';
import { quoted } from './problem.ts';
import { findSetting } from './settings.ts';

/** Ids of the recordings that the blocks play as they stand, leaving variations and stages aside. */
export function playedRecordings(patch: Patch, catalogue: Catalogue): ReadonlySet<string> {
  return new Set(patch.blocks.flatMap((block) => recordingsOf(block, catalogue)));
}

/** Ids of all recordings that the patch names anywhere: in blocks, variations and stages. */
export function namedRecordings(patch: Patch, catalogue: Catalogue): ReadonlySet<string> {
  const types = new Map(patch.blocks.map(({ id, type }) => [id, type]));
  const ids = new Set(playedRecordings(patch, catalogue));
  const note = (type: string | undefined, setting: string, value: SettingValue): void => {
    const spec = catalogue.get(type ?? '');
    if (spec && isRecordingSetting(spec, setting) && value !== '') ids.add(String(value));
  };
  for (const { changes } of patch.variations ?? []) {
    const own = new Map(types);
    for (const change of changes) {
      if ('set' in change) note(own.get(change.set[0]), change.set[1], change.value);
      if (!('add' in change)) continue;
      own.set(change.add.id, change.add.type);
      for (const id of recordingsOf(change.add, catalogue)) ids.add(id);
    }
  }
  for (const { settings } of patch.stages ?? []) {
    for (const [block, setting, value] of settings ?? []) note(types.get(block), setting, value);
  }
  return ids;
}

/** The patch `after` without recordings that only `before` named; those that nobody named before stay. */
export function withoutUnused(before: Patch, after: Patch, catalogue: Catalogue): Patch {
  const list = after.recordings;
  if (!list) return after;
  const [named, stillNamed] = [namedRecordings(before, catalogue), namedRecordings(after, catalogue)];
  const kept = list.filter(({ id }) => stillNamed.has(id) || !named.has(id));
  if (kept.length === list.length) return after;
  const { recordings: _list, ...rest } = after;
  return kept.length > 0 ? { ...rest, recordings: kept } : rest;
}

export function isRecordingSetting(spec: BlockSpec, id: string): boolean {
  return findSetting(spec, id)?.type === 'recording';
}

function recordingsOf({ type, settings }: Block, catalogue: Catalogue): string[] {
  const spec = catalogue.get(type);
  return Object.entries(settings ?? {}).flatMap(([id, value]) =>
    spec && isRecordingSetting(spec, id) && value !== '' ? [String(value)] : [],
  );
}

/** Why a setting cannot name a recording. */
export function noRecording(id: string, there: readonly string[]): string {
  return `There is no recording "${id}" in this patch; it has ${there.length > 0 ? quoted(there) : 'none'}.`;
}
