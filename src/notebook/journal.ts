/**
 * Edits that were not yet kept when the page was closed. The big storage answers only later, which may be too late for a page
 * that is going away; this small one (`localStorage`) answers at once. Whoever opens the notebook next takes the entries over.
 */
import { isRecord, type NotebookRecord } from './record.ts';

/** What is needed of `localStorage`. */
export interface JournalStore {
  readonly length: number;
  key(index: number): string | null;
  getItem(name: string): string | null;
  setItem(name: string, text: string): void;
  removeItem(name: string): void;
}

export interface JournalEntry {
  readonly record: NotebookRecord;
  /** The stamp that the entry was made from. */
  readonly known: string;
}

export interface Journal {
  /** False when there is no room. */
  note(entry: JournalEntry): boolean;
  /** What this tab noted has been kept. */
  clear(): void;
  /** All entries, of all tabs; they are gone from the journal then. */
  take(): readonly JournalEntry[];
}

const PREFIX = 'signal-sketchbook/unkept/';

/** @param tab names this tab among others */
export function createJournal(store: JournalStore | undefined, tab: string): Journal {
  const key = PREFIX + tab;
  let noted = false;
  return {
    note(entry) {
      try {
        store?.setItem(key, JSON.stringify(entry));
        noted = store !== undefined;
      } catch {
        noted = false;
      }
      return noted;
    },
    clear() {
      if (!noted) return;
      noted = false;
      try {
        store?.removeItem(key);
      } catch {
        // An entry left behind is recognised as kept by its stamp.
      }
    },
    take() {
      try {
        return keysOf(store).flatMap((name) => {
          const entry = readEntry(store?.getItem(name));
          store?.removeItem(name);
          return entry ? [entry] : [];
        });
      } catch {
        return [];
      }
    },
  };
}

function keysOf(store: JournalStore | undefined): readonly string[] {
  if (!store) return [];
  return Array.from({ length: store.length }, (_, i) => store.key(i) ?? '').filter((name) => name.startsWith(PREFIX));
}

function readEntry(text: string | null | undefined): JournalEntry | undefined {
  try {
    const entry: unknown = JSON.parse(text ?? 'null');
    if (typeof entry !== 'object' || entry === null || !('record' in entry) || !('known' in entry)) return undefined;
    return isRecord(entry.record) && typeof entry.known === 'string' ? { record: entry.record, known: entry.known } : undefined;
  } catch {
    return undefined;
  }
}
