/** The notebook's entries in order, and how one is found among hundreds. */
import type { Catalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import type { NotebookRecord } from './record.ts';

/** What is not deleted, newest change first. */
export function listed(records: Iterable<NotebookRecord>): readonly NotebookRecord[] {
  return [...records].filter(({ trashed }) => trashed === undefined).sort((a, b) => b.changed - a.changed || (a.id < b.id ? -1 : 1));
}

/** What is deleted and can be brought back, last deleted first. */
export function deleted(records: Iterable<NotebookRecord>): readonly NotebookRecord[] {
  return [...records]
    .filter(({ trashed }) => trashed !== undefined)
    .sort((a, b) => (b.trashed ?? 0) - (a.trashed ?? 0) || (a.id < b.id ? -1 : 1));
}

/** Entries in whose title, summary, tags, notes, author or functions all the words typed occur. */
export function findPatches(records: readonly NotebookRecord[], typed: string, catalogue: Catalogue): readonly NotebookRecord[] {
  const words = plain(typed).split(/\s+/).filter(Boolean);
  if (words.length === 0) return records;
  return records.filter(({ patch }) => {
    const text = searchText(patch, catalogue);
    return words.every((word) => text.includes(word));
  });
}

function searchText({ title, summary, notes, tags, author, blocks }: Patch, catalogue: Catalogue): string {
  const types = new Set(blocks.map(({ type }) => type));
  const functions = [...types].flatMap((type) => catalogue.get(type)?.title ?? []);
  const labels = blocks.flatMap(({ label }) => label ?? []);
  return plain([title, summary, notes, author, ...(tags ?? []), ...functions, ...labels].filter(Boolean).join('\n'));
}

/** Small letters without accents. */
function plain(text: string): string {
  return text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();
}

/** "Harbour bell (copy)", then "(copy 2)": a title that no other entry has. */
export function copyTitle(title: string | undefined, taken: Iterable<string | undefined>): string {
  const titles = new Set(taken);
  const stem = (title?.trim() || 'Untitled').replace(/ \(copy(?: \d+)?\)$/, '');
  let copy = `${stem} (copy)`;
  for (let n = 2; titles.has(copy); n++) copy = `${stem} (copy ${n})`;
  return copy;
}
