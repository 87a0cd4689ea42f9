// @vitest-environment node
import 'fake-indexeddb/auto';
import { openDB } from 'idb';
import { afterEach, describe, expect, it } from 'vitest';
import type { Patch } from '../patch/document.ts';
import { createRecord } from './record.ts';
import { openStorage } from './storage.ts';
import { createMemoryStore, type NotebookStore } from './store.ts';

const bell: Patch = { title: 'Harbour bell', blocks: [{ id: 'osc1', type: 'oscillator', settings: { tune: 110 } }], cables: [] };
const buoy: Patch = { title: 'Buoy', blocks: [], cables: [] };

let count = 0;
const open: NotebookStore[] = [];
const storage = async (name: string): Promise<NotebookStore> => {
  const store = await openStorage({ name });
  open.push(store);
  return store;
};

afterEach(() => {
  for (const store of open.splice(0)) store.close();
});

describe.each([
  ['IndexedDB', () => storage(`storage${++count}`)],
  ['memory', async () => createMemoryStore()],
])('the notebook in %s', (_name, openOne) => {
  it('gives back what was written', async () => {
    const store = await openOne();
    const record = createRecord('a', bell, 1000, 's1');
    expect(await store.write(record)).toBeUndefined();
    expect(await store.get('a')).toEqual(record);
    expect(await store.all()).toEqual([record]);
    expect(await store.get('b')).toBeUndefined();
  });

  it('refuses to overwrite a writing that the writer does not know, and shows it', async () => {
    const store = await openOne();
    const first = createRecord('a', bell, 1000, 's1');
    const second = { ...first, patch: buoy, stamp: 's2' };
    await store.write(first);
    expect(await store.write(second, 's1')).toBeUndefined();
    expect(await store.write({ ...first, stamp: 's3' }, 's1')).toEqual(second);
    expect(await store.get('a')).toEqual(second);
    expect(await store.write({ ...first, stamp: 's3' })).toBeUndefined();
    expect((await store.get('a'))?.stamp).toBe('s3');
  });

  it('marks as deleted, brings back and removes for good', async () => {
    const store = await openOne();
    await store.write(createRecord('a', bell, 1000, 's1'));
    await store.touch('a', { trashed: 2000 });
    expect(await store.get('a')).toMatchObject({ trashed: 2000, stamp: 's1', patch: bell });
    await store.touch('a', { opened: 3000 });
    expect(await store.get('a')).toMatchObject({ trashed: 2000, opened: 3000 });
    await store.touch('a', { trashed: null });
    expect(await store.get('a')).not.toHaveProperty('trashed');
    await store.touch('nobody', { opened: 1 });
    const silenced = [{ rule: 'slow-gate', block: 'env1', note: 'on purpose' }];
    await store.touch('a', { silenced });
    await store.touch('a', { opened: 4000 });
    expect(await store.get('a')).toMatchObject({ silenced, opened: 4000, stamp: 's1', patch: bell });
    await store.touch('a', { silenced: [] });
    expect(await store.get('a')).not.toHaveProperty('silenced');
    await store.remove(['a', 'nobody']);
    expect(await store.all()).toEqual([]);
  });

  it('keeps sound files under their sha256 and sweeps out old ones that nobody names', async () => {
    const store = await openOne();
    const bytes = Uint8Array.from({ length: 100_000 }, (_, i) => i % 251);
    for (const [sha256, kept] of [
      ['a', 1000],
      ['b', 1000],
      ['c', 3000],
    ] as const)
      await store.keepSound({ sha256, bytes, kept });
    expect(await store.sound('a')).toEqual(bytes);
    expect(await store.sound('nothing')).toBeUndefined();
    await store.sweepSounds(new Set(['a']), 2000);
    expect(await Promise.all(['a', 'b', 'c'].map(async (name) => (await store.sound(name))?.length))).toEqual([
      100_000,
      undefined,
      100_000,
    ]);
    // Chosen again, it is new.
    await store.keepSound({ sha256: 'a', bytes, kept: 5000 });
    await store.sweepSounds(new Set(), 4000);
    expect((await store.sound('a'))?.length).toBe(100_000);
    expect(await store.sound('c')).toBeUndefined();
  });

  it('begins once', async () => {
    const store = await openOne();
    expect(await store.begin([createRecord('a', bell, 1000, 's1')])).toBe(true);
    await store.remove(['a']);
    expect(await store.begin([createRecord('a', bell, 1000, 's1')])).toBe(false);
    expect(await store.all()).toEqual([]);
  });
});

describe('two tabs', () => {
  it('see what the other one writes and are told of it', async () => {
    const name = `storage${++count}`;
    const [here, there] = [await storage(name), await storage(name)];
    const told = new Promise<readonly string[]>((resolve) => there.onChange(resolve));
    await here.write(createRecord('a', bell, 1000, 's1'));
    expect(await told).toEqual(['a']);
    expect((await there.get('a'))?.patch).toEqual(bell);
  });

  it('begin only once between them', async () => {
    const name = `storage${++count}`;
    const [here, there] = [await storage(name), await storage(name)];
    const begun = await Promise.all([
      here.begin([createRecord('a', bell, 1000, 's1')]),
      there.begin([createRecord('b', bell, 1000, 's2')]),
    ]);
    expect(begun).toEqual([true, false]);
    expect((await there.all()).map(({ id }) => id)).toEqual(['a']);
  });
});

it('leaves what it does not understand where it is', async () => {
  const name = `storage${++count}`;
  const store = await storage(name);
  const raw = await openDB(name);
  await raw.put('patches', { id: 'odd', patch: 7 });
  expect(await store.all()).toEqual([]);
  expect(await store.get('odd')).toBeUndefined();
  expect(await raw.get('patches', 'odd')).toEqual({ id: 'odd', patch: 7 });
  raw.close();
});

it('says when a newer page takes the database away', async () => {
  const name = `storage${++count}`;
  let lost = false;
  await openStorage({
    name,
    onLost: () => {
      lost = true;
    },
  });
  const newer = await openDB(name, 99);
  expect(lost).toBe(true);
  newer.close();
});

it('takes over a notebook of the first version, which had no sound files', async () => {
  const name = `storage${++count}`;
  const record = createRecord('a', bell, 1000, 's1');
  const old = await openDB(name, 1, {
    upgrade(fresh) {
      fresh.createObjectStore('patches', { keyPath: 'id' });
      fresh.createObjectStore('facts');
    },
  });
  await old.put('patches', record);
  await old.put('facts', true, 'begun');
  old.close();
  const store = await storage(name);
  expect(await store.all()).toEqual([record]);
  expect(await store.begin([createRecord('b', buoy, 1000, 's2')])).toBe(false);
  await store.keepSound({ sha256: 'f', bytes: Uint8Array.of(1, 2), kept: 1 });
  expect(await store.sound('f')).toEqual(Uint8Array.of(1, 2));
});
