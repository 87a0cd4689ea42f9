/**
 * Keeps every edit of the open patch: at most one writing every 300 ms, at once when the page goes away.
 * What another tab has written meanwhile is never overwritten unknowingly: then the edits here go on in a copy.
 */
import type { Journal } from '../../notebook/journal.ts';
import { createRecord, type NotebookRecord } from '../../notebook/record.ts';
import type { NotebookStore } from '../../notebook/store.ts';
import type { Patch } from '../../patch/document.ts';
import type { Session } from '../store/session.ts';

const PACE_MS = 300;
/** After a failure it is tried again in this time, or with the next edit. */
const AGAIN_MS = 10_000;

export interface AutosaveParts {
  readonly session: Session;
  readonly store: () => NotebookStore;
  readonly journal: Journal;
  readonly now: () => number;
  readonly freshStamp: () => string;
  /** The entry as this tab knows it. */
  readonly recordOf: (id: string) => NotebookRecord | undefined;
  readonly onKept: (record: NotebookRecord) => void;
  /** Somebody else's newer patch stands in the way of this one. */
  readonly onConflict: (id: string, patch: Patch, newer: NotebookRecord) => void;
  readonly onFailure: (error: unknown) => void;
}

export interface Autosave {
  /** Resolves when all edits so far are kept, or writing them has failed. */
  flush(): Promise<void>;
  /** The page may go away: note what is not kept where that takes no time, then keep it. */
  hide(): void;
  /** Whether edits wait to be kept. */
  waiting(): boolean;
  /** Keeps a patch under an id even though nobody edited it. */
  keep(id: string, patch: Patch): void;
  /** From here on this tab knows that writing of the entry; a name never seen before is written whatever is there. */
  know(id: string, stamp: string): void;
  knows(id: string): string | undefined;
}

interface Waiting {
  readonly id: string;
  readonly patch: Patch;
  /** What this writing will be called. */
  readonly stamp: string;
}

export function createAutosave(parts: AutosaveParts): Autosave {
  const { session, journal } = parts;
  const known = new Map<string, string>();
  /** Oldest first; at most one per id. */
  const queue = new Map<string, Waiting>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  let writing = Promise.resolve();

  session.subscribe((now, before) => {
    if (now.opened.count !== before.opened.count) {
      if (queue.size > 0) void flush();
    } else if (now.patch !== before.patch && now.opened.id !== undefined) {
      keep(now.opened.id, now.patch);
    }
  });

  function keep(id: string, patch: Patch): void {
    queue.set(id, { id, patch, stamp: parts.freshStamp() });
    plan(PACE_MS);
  }

  function plan(ms: number): void {
    timer ??= setTimeout(() => void flush(), ms);
  }

  function entryOf({ id, patch, stamp }: Waiting): NotebookRecord {
    const fresh = createRecord(id, patch, parts.now(), stamp);
    const before = parts.recordOf(id);
    return { ...fresh, opened: before?.opened ?? fresh.opened, ...(before?.silenced && { silenced: before.silenced }) };
  }

  async function write(waiting: Waiting): Promise<void> {
    const record = entryOf(waiting);
    const newer = await parts.store().write(record, known.get(waiting.id));
    if (queue.get(waiting.id) === waiting) queue.delete(waiting.id);
    if (newer) {
      // The newest edit goes into the copy, not the one that happened to be written.
      const latest = queue.get(waiting.id)?.patch ?? waiting.patch;
      queue.delete(waiting.id);
      parts.onConflict(waiting.id, latest, newer);
      return;
    }
    known.set(record.id, record.stamp);
    parts.onKept(record);
  }

  /** What is edited meanwhile waits for its own turn. */
  async function writeAll(): Promise<void> {
    try {
      for (const waiting of [...queue.values()]) await write(waiting);
      if (queue.size === 0) journal.clear();
    } catch (error) {
      parts.onFailure(error);
      plan(AGAIN_MS);
    }
  }

  function flush(): Promise<void> {
    clearTimeout(timer);
    timer = undefined;
    writing = writing.then(writeAll);
    return writing;
  }

  return {
    flush,
    hide() {
      // One entry is enough: only the open patch is edited by hand, and the last in the queue is that one.
      const last = [...queue.values()].at(-1);
      if (!last) return;
      journal.note({ record: entryOf(last), known: known.get(last.id) ?? '' });
      void flush();
    },
    waiting: () => queue.size > 0,
    keep,
    know: (id, stamp) => {
      known.set(id, stamp);
    },
    knows: (id) => known.get(id),
  };
}
