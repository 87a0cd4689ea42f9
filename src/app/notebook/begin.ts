/** What happens to the storage before the page shows it. */
import { copyTitle } from '../../notebook/list.ts';
import { createRecord, overdue } from '../../notebook/record.ts';
import type { NotebookStore } from '../../notebook/store.ts';
import { sameData } from '../../patch/sameData.ts';
import type { NotebookParts } from './notebookTypes.ts';

const OPEN_KEY = 'signal-sketchbook/open';

/** Which patch was open in this tab before it was reloaded. */
export function lastOpen(tab: NotebookParts['tab']): string | undefined {
  try {
    return tab?.getItem(OPEN_KEY) ?? undefined;
  } catch {
    return undefined;
  }
}

export function rememberOpen(tab: NotebookParts['tab'], id: string): void {
  try {
    tab?.setItem(OPEN_KEY, id);
  } catch {
    // Then a reload opens what was opened last in any tab.
  }
}

/** For so long a sound file is kept that no patch names: a tab may bring it back by undo. */
const SPARE_SOUND_MS = 7 * 86_400_000;

/**
 * Demo patches into a notebook that never had any, edits that the last page could not keep any more, and an end to what was
 * deleted long ago and to sound files that no patch names any more.
 */
export async function takeOver(parts: NotebookParts, store: NotebookStore, freshStamp: () => string): Promise<void> {
  const now = parts.now();
  // In their own order, newest first; the first one is the one to open.
  await store.begin(
    parts.demos.map((patch, i) => ({ ...createRecord(parts.freshId(), patch, now, freshStamp()), changed: now - i, opened: now - i })),
  );
  for (const { record, known } of parts.journal.take()) {
    const kept = await store.get(record.id);
    if (kept?.stamp === record.stamp || sameData(kept?.patch, record.patch)) continue;
    const newer = await store.write(record, known);
    if (!newer) continue;
    const titles = (await store.all()).map(({ patch }) => patch.title);
    await store.write({ ...record, id: parts.freshId(), patch: { ...record.patch, title: copyTitle(record.patch.title, titles) } });
  }
  const records = await store.all();
  const past = overdue(records, now);
  if (past.length > 0) await store.remove(past);
  const kept = records.filter(({ id }) => !past.includes(id));
  const named = new Set(kept.flatMap(({ patch }) => (patch.recordings ?? []).map(({ sha256 }) => sha256)));
  await store.sweepSounds(named, now - SPARE_SOUND_MS);
}
