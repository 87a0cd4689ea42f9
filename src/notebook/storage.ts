/** The notebook in the browser's IndexedDB, with word between tabs of who wrote what. Nothing else in this folder touches the page. */
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { isRecord, type NotebookRecord } from './record.ts';
import { type KeptSound, type NotebookStore, touched } from './store.ts';

interface Schema extends DBSchema {
  patches: { key: string; value: NotebookRecord };
  /** Facts about the notebook itself: 'begun'. */
  facts: { key: string; value: unknown };
  /** Since version 2. */
  sounds: { key: string; value: KeptSound };
}

const NAME = 'signal-sketchbook';
const DATABASE_VERSION = 2;

export interface StorageOptions {
  /** Told when another tab with a newer page needs the database in another form: nothing can be kept here from now on. */
  readonly onLost?: () => void;
  readonly name?: string;
}

/** Rejects where the browser forbids storage. */
export async function openStorage({ onLost, name = NAME }: StorageOptions = {}): Promise<NotebookStore> {
  const database: IDBPDatabase<Schema> = await openDB<Schema>(name, DATABASE_VERSION, {
    upgrade(fresh, before) {
      if (before < 1) {
        fresh.createObjectStore('patches', { keyPath: 'id' });
        fresh.createObjectStore('facts');
      }
      if (before < 2) fresh.createObjectStore('sounds', { keyPath: 'sha256' });
    },
    blocking() {
      database.close();
      onLost?.();
    },
    terminated: () => onLost?.(),
  });
  const channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel(`${name}/notebook`);
  const tell = (ids: readonly string[]): void => channel?.postMessage(ids);

  return {
    // An entry that cannot even be listed stays where it is, for a page that understands it.
    all: async () => (await database.getAll('patches')).filter(isRecord),
    get: async (id) => {
      const record: unknown = await database.get('patches', id);
      return isRecord(record) ? record : undefined;
    },
    async write(record, known) {
      const transaction = database.transaction('patches', 'readwrite');
      const before = known === undefined ? undefined : await transaction.store.get(record.id);
      const inTheWay = before && before.stamp !== known ? before : undefined;
      if (!inTheWay) void transaction.store.put(record).catch(() => undefined); // `done` rejects as well
      await transaction.done;
      if (!inTheWay) tell([record.id]);
      return inTheWay;
    },
    async touch(id, touch) {
      const transaction = database.transaction('patches', 'readwrite');
      const before = await transaction.store.get(id);
      if (before) void transaction.store.put(touched(before, touch)).catch(() => undefined);
      await transaction.done;
      if (before) tell([id]);
    },
    async remove(ids) {
      const transaction = database.transaction('patches', 'readwrite');
      for (const id of ids) void transaction.store.delete(id).catch(() => undefined);
      await transaction.done;
      tell(ids);
    },
    async begin(records) {
      const transaction = database.transaction(['patches', 'facts'], 'readwrite');
      const begun = await transaction.objectStore('facts').get('begun');
      if (!begun) {
        void transaction
          .objectStore('facts')
          .put(true, 'begun')
          .catch(() => undefined);
        for (const record of records)
          void transaction
            .objectStore('patches')
            .put(record)
            .catch(() => undefined);
      }
      await transaction.done;
      if (!begun) tell(records.map(({ id }) => id));
      return !begun;
    },
    sound: async (sha256) => (await database.get('sounds', sha256))?.bytes,
    async keepSound(sound) {
      await database.put('sounds', sound);
    },
    async sweepSounds(named, before) {
      const transaction = database.transaction('sounds', 'readwrite');
      for (const sha256 of await transaction.store.getAllKeys()) {
        if (named.has(sha256)) continue;
        const sound = await transaction.store.get(sha256);
        if (sound && sound.kept < before) void transaction.store.delete(sha256).catch(() => undefined);
      }
      await transaction.done;
    },
    onChange(listener) {
      const hear = (event: MessageEvent): void => {
        if (Array.isArray(event.data)) listener(event.data.filter((id) => typeof id === 'string'));
      };
      channel?.addEventListener('message', hear);
      return () => channel?.removeEventListener('message', hear);
    },
    close() {
      channel?.close();
      database.close();
    },
  };
}
