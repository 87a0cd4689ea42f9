/** What the notebook needs of a storage. The browser's own is in `storage.ts`; `createMemoryStore` forgets. */
import { isRecord, type NotebookRecord, type Silenced } from './record.ts';

/** Fields of an entry that may be written without touching the patch. */
export interface Touch {
  readonly opened?: number;
  /** null brings a deleted entry back. */
  readonly trashed?: number | null;
  readonly silenced?: readonly Silenced[];
}

/** A sound file as it was chosen or converted, under the sha256 of its bytes: whatever patches name it share it. */
export interface KeptSound {
  readonly sha256: string;
  readonly bytes: Uint8Array<ArrayBuffer>;
  /** When it was last chosen. */
  readonly kept: number;
}

export interface NotebookStore {
  /** All entries, deleted ones too, in no order. */
  all(): Promise<readonly NotebookRecord[]>;
  get(id: string): Promise<NotebookRecord | undefined>;
  /**
   * Writes an entry unless its patch was written by somebody else since `known` (the stamp last seen; undefined: overwrite
   * whatever is there). Returns the newer entry that stands in the way; undefined when written. Rejects when there is no room.
   */
  write(record: NotebookRecord, known?: string): Promise<NotebookRecord | undefined>;
  /** Does nothing for an entry that is not there. */
  touch(id: string, touch: Touch): Promise<void>;
  /** For good. */
  remove(ids: readonly string[]): Promise<void>;
  /** Puts the first entries into a notebook that has never had any. False when it had, which is the case ever after. */
  begin(records: readonly NotebookRecord[]): Promise<boolean>;
  sound(sha256: string): Promise<Uint8Array<ArrayBuffer> | undefined>;
  /** Rejects when there is no room. */
  keepSound(sound: KeptSound): Promise<void>;
  /** Removes sounds that are not named and were kept before a time. */
  sweepSounds(named: ReadonlySet<string>, before: number): Promise<void>;
  /** Told of entries that another tab has written, touched or removed. Returns the way to stop. */
  onChange(listener: (ids: readonly string[]) => void): () => void;
  close(): void;
}

export function touched(record: NotebookRecord, { opened, trashed, silenced }: Touch): NotebookRecord {
  const { trashed: before, silenced: quiet, ...rest } = record;
  const after = trashed === undefined ? before : (trashed ?? undefined);
  const still = silenced ?? quiet ?? [];
  return {
    ...rest,
    ...(opened !== undefined && { opened }),
    ...(after !== undefined && { trashed: after }),
    ...(still.length > 0 && { silenced: still }),
  };
}

/** A notebook that lasts as long as the page, for browsers that forbid storage and for tests. */
export function createMemoryStore(): NotebookStore {
  const records = new Map<string, NotebookRecord>();
  const sounds = new Map<string, KeptSound>();
  let begun = false;
  return {
    all: async () => [...records.values()].filter(isRecord),
    get: async (id) => records.get(id),
    async write(record, known) {
      const before = records.get(record.id);
      if (before && known !== undefined && before.stamp !== known) return before;
      records.set(record.id, record);
      return undefined;
    },
    async touch(id, touch) {
      const before = records.get(id);
      if (before) records.set(id, touched(before, touch));
    },
    async remove(ids) {
      for (const id of ids) records.delete(id);
    },
    async begin(first) {
      if (begun) return false;
      begun = true;
      for (const record of first) records.set(record.id, record);
      return true;
    },
    sound: async (sha256) => sounds.get(sha256)?.bytes,
    async keepSound(sound) {
      sounds.set(sound.sha256, sound);
    },
    async sweepSounds(named, before) {
      for (const { sha256, kept } of sounds.values()) if (!named.has(sha256) && kept < before) sounds.delete(sha256);
    },
    onChange: () => () => undefined,
    close: () => undefined,
  };
}
