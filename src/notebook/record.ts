/** An entry of the notebook: a patch and when it was last touched. */
import type { Catalogue } from '../patch/blockSpec.ts';
import { FORMAT, type Patch, VERSION } from '../patch/document.ts';
import { type ReadResult, readPatch } from '../patch/file/read.ts';

export interface NotebookRecord {
  readonly id: string;
  /** Format version of the patch, so that a newer page can migrate it. */
  readonly version: number;
  readonly patch: Patch;
  /** Milliseconds since 1970, as are all times here. */
  readonly opened: number;
  readonly changed: number;
  /** When it was deleted; it can be brought back until it is purged. */
  readonly trashed?: number;
  /** Names the last writing of the patch: whoever writes next says which one was known, so that no newer one is lost. */
  readonly stamp: string;
}

/** Days for which a deleted patch can be brought back. */
export const KEPT_DAYS = 30;

const DAY_MS = 86_400_000;

export function createRecord(id: string, patch: Patch, now: number, stamp: string): NotebookRecord {
  return { id, version: VERSION, patch, opened: now, changed: now, stamp };
}

/** The patch of an entry through the whole check of a patch file: what an older page or a damaged disk left may be refused. */
export function readRecord({ patch, version }: NotebookRecord, catalogue: Catalogue): ReadResult {
  return readPatch(JSON.stringify({ format: FORMAT, version, ...patch }), catalogue);
}

/** Does what came out of storage look like an entry that can at least be listed? */
export function isRecord(value: unknown): value is NotebookRecord {
  if (typeof value !== 'object' || value === null) return false;
  const { id, patch, changed, opened, stamp } = value as Partial<Record<keyof NotebookRecord, unknown>>;
  if (typeof id !== 'string' || typeof stamp !== 'string') return false;
  if (typeof changed !== 'number' || typeof opened !== 'number') return false;
  if (typeof patch !== 'object' || patch === null) return false;
  const { blocks, cables } = patch as Partial<Record<keyof Patch, unknown>>;
  return Array.isArray(blocks) && Array.isArray(cables);
}

/** Entries whose time in the list of deleted ones is over. */
export function overdue(records: readonly NotebookRecord[], now: number): readonly string[] {
  return records.filter(({ trashed }) => trashed !== undefined && now - trashed > KEPT_DAYS * DAY_MS).map(({ id }) => id);
}
