/** An entry of the notebook: a patch and when it was last touched. */
import type { Catalogue } from '../patch/blockSpec.ts';
import { FORMAT, type Patch, VERSION } from '../patch/document.ts';
import { type ReadResult, readPatch } from '../patch/file/read.ts';

/** A finding that somebody has looked at and does not want to be shown again in this patch: all of a rule on a block. */
export interface Silenced {
  readonly rule: string;
  /** Left out: about the patch as a whole. */
  readonly block?: string;
  /** Why it may stay as it is. */
  readonly note?: string;
}

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
  /** Kept in this browser beside the patch, not in its file. Entries of older pages have none. */
  readonly silenced?: readonly Silenced[];
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

/** What is silenced in an entry; whatever a damaged disk or another page has left there is passed over. */
export function silencedOf(record: NotebookRecord | undefined): readonly Silenced[] {
  const list: unknown = record?.silenced;
  return Array.isArray(list) ? list.filter(isSilenced) : [];
}

function isSilenced(value: unknown): value is Silenced {
  if (typeof value !== 'object' || value === null) return false;
  const { rule, block, note } = value as Partial<Record<keyof Silenced, unknown>>;
  const isText = (each: unknown): boolean => each === undefined || typeof each === 'string';
  return typeof rule === 'string' && isText(block) && isText(note);
}

/** The list with one more; what was silenced of the same rule on the same block gives way to it. */
export function withSilenced(list: readonly Silenced[], fresh: Silenced): readonly Silenced[] {
  return [...withoutSilenced(list, fresh), fresh];
}

export function withoutSilenced(list: readonly Silenced[], gone: Pick<Silenced, 'rule' | 'block'>): readonly Silenced[] {
  return list.filter(({ rule, block }) => rule !== gone.rule || block !== gone.block);
}
