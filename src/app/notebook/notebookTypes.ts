/** What the notebook of this browser knows and can do. */
import type { StoreApi } from 'zustand/vanilla';
import type { PatchFile, RefusedFile } from '../../notebook/files.ts';
import type { Journal } from '../../notebook/journal.ts';
import type { NotebookRecord, Silenced } from '../../notebook/record.ts';
import type { NotebookStore } from '../../notebook/store.ts';
import type { Catalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import type { Session } from '../store/session.ts';

export interface NotebookState {
  /** 'forgetful': the browser forbids storage, and everything is gone with the page. */
  readonly status: 'starting' | 'kept' | 'forgetful';
  /** All entries by id, deleted ones too. */
  readonly records: ReadonlyMap<string, NotebookRecord>;
  /** Why edits are not kept: whole sentences. */
  readonly trouble: string | undefined;
  /** Another tab has written a newer form of the patch that is open here. */
  readonly newerElsewhere: boolean;
  /** Files and entries that could not be read, until they are put away. */
  readonly refused: readonly RefusedFile[];
  /** What was deleted last, so that it can be undone. */
  readonly lately: readonly string[];
}

export interface NotebookActions {
  /** Opens the storage and the patch that was open last. Call once. */
  start(): Promise<void>;
  create(): void;
  /** False when the entry cannot be read; `refused` says why. */
  open(id: string): Promise<boolean>;
  /** Says why not, where a title is refused. */
  rename(id: string, title: string): Promise<void>;
  /** Returns the copy's id. */
  duplicate(id: string): Promise<string | undefined>;
  remove(id: string): Promise<void>;
  restore(ids: readonly string[]): Promise<void>;
  /** Deletes for good. */
  purge(ids: readonly string[]): Promise<void>;
  /** A single patch is opened; several are listed on top. Returns the ids that were added. */
  importFiles(files: Iterable<PatchFile>): Promise<readonly string[]>;
  /** Puts back each demo patch that is not there as it was; edited ones stay beside it. */
  restoreDemos(): Promise<void>;
  /** The patch of an entry as it is now. */
  patchOf(id: string): Patch | undefined;
  /** What another tab wrote takes the place of what is open here. */
  takeNewer(): Promise<void>;
  /** What is open here goes on as a patch of its own. */
  keepAsCopy(): void;
  /** What is open here is kept in place of what another tab wrote. */
  keepMine(): void;
  /** A sound file by its sha256; undefined where this browser does not have it. Waits until the storage is open. */
  soundFile(sha256: string): Promise<Uint8Array<ArrayBuffer> | undefined>;
  /** Keeps a sound file in this browser; where that fails it is said. */
  keepSoundFile(sha256: string, bytes: Uint8Array<ArrayBuffer>): Promise<void>;
  /** What the checks shall say no more about the open patch. */
  silence(what: Silenced): void;
  /** Ends that. */
  bringBack(what: Pick<Silenced, 'rule' | 'block'>): void;
  dismissRefused(): void;
  forgetLately(): void;
  /** Resolves when every edit so far is kept, or cannot be. */
  flush(): Promise<void>;
  /** The page may go away. */
  hide(): void;
  /** Whether edits wait to be kept. */
  waiting(): boolean;
  /** Whether edits would be lost if the page went away now. */
  atRisk(): boolean;
}

export type Notebook = StoreApi<NotebookState> & NotebookActions;

export interface NotebookParts {
  readonly session: Session;
  readonly catalogue: Catalogue;
  readonly openStore: (onLost: () => void) => Promise<NotebookStore>;
  readonly journal: Journal;
  readonly demos: readonly Patch[];
  /** Remembers over a reload of this tab which patch is open. */
  readonly tab?: Pick<Storage, 'getItem' | 'setItem'>;
  readonly now: () => number;
  readonly freshId: () => string;
}
