// @vitest-environment node
import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import { createJournal, type JournalStore } from '../../notebook/journal.ts';
import { listed } from '../../notebook/list.ts';
import { createRecord, type NotebookRecord, silencedOf } from '../../notebook/record.ts';
import { openStorage } from '../../notebook/storage.ts';
import type { NotebookStore } from '../../notebook/store.ts';
import { setDetails } from '../../patch/commands/index.ts';
import { emptyPatch, type Patch } from '../../patch/document.ts';
import { writePatch } from '../../patch/file/write.ts';
import { createSession, type Session } from '../store/session.ts';
import { createNotebook } from './notebook.ts';
import type { Notebook } from './notebookTypes.ts';

const demos: readonly Patch[] = [
  { title: 'Ferry', blocks: [{ id: 'osc1', type: 'oscillator' }], cables: [] },
  { title: 'Buoy', blocks: [], cables: [] },
];

interface Page {
  readonly session: Session;
  readonly notebook: Notebook;
  readonly store: NotebookStore;
  readonly titles: () => (string | undefined)[];
  readonly retitle: (title: string) => void;
}

let database = '';
let databases = 0;
let clock = 1_000_000;
const small = new Map<string, string>();
const journalStore: JournalStore = {
  get length() {
    return small.size;
  },
  key: (i) => [...small.keys()][i] ?? null,
  getItem: (key) => small.get(key) ?? null,
  setItem: (key, value) => void small.set(key, value),
  removeItem: (key) => void small.delete(key),
};
const opened: NotebookStore[] = [];

let pages = 0;
/** Loads the page anew in a tab; `change` makes its storage worse. */
async function load(tab = new Map<string, string>(), change: (store: NotebookStore) => NotebookStore = (store) => store): Promise<Page> {
  const name = `page${++pages}`;
  let ids = 0;
  const session = createSession();
  const raw = await openStorage({ name: database });
  opened.push(raw);
  const store = change(raw);
  const notebook = createNotebook({
    session,
    catalogue: smallCatalogue,
    openStore: async () => store,
    journal: createJournal(journalStore, name),
    demos,
    tab: { getItem: (key) => tab.get(key) ?? null, setItem: (key, value) => void tab.set(key, value) },
    now: () => ++clock,
    freshId: () => `${name}-${++ids}`,
  });
  await notebook.start();
  return {
    session,
    notebook,
    store: raw,
    titles: () => listed(notebook.getState().records.values()).map(({ patch }) => patch.title),
    retitle: (title) => void session.run(setDetails(session.getState().patch, smallCatalogue, { details: { title } })),
  };
}

const titleOf = (page: Page): string | undefined => page.session.getState().patch.title;
const openIdOf = (page: Page): string => page.session.getState().opened.id ?? '';
const tick = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
const file = (name: string, text: string) => ({ name, size: text.length, arrayBuffer: () => new Blob([text]).arrayBuffer() });

beforeEach(() => {
  database = `notebook${++databases}`;
  small.clear();
});
afterEach(() => {
  for (const store of opened.splice(0)) store.close();
});

describe('the first visit', () => {
  it('begins with the demo patches and opens the first one', async () => {
    const page = await load();
    expect(page.titles()).toEqual(['Ferry', 'Buoy']);
    expect(page.session.getState().patch).toEqual(demos[0]);
  });

  it('is over for good: deleted demo patches do not come back by themselves', async () => {
    const page = await load();
    await page.notebook.purge([...page.notebook.getState().records.keys()]);
    const again = await load();
    expect(again.titles()).toEqual(['Untitled']);
    expect(again.session.getState().patch).toEqual(emptyPatch);
  });
});

describe('keeping', () => {
  it('writes every edit, soon and not each one by itself', async () => {
    let writes = 0;
    const page = await load(undefined, (store) => ({
      ...store,
      write(...args) {
        writes++;
        return store.write(...args);
      },
    }));
    for (let i = 0; i < 50; i++) page.retitle(`Ferry ${i}`);
    await tick(500);
    expect(writes).toBe(1);
    expect((await page.store.get(openIdOf(page)))?.patch.title).toBe('Ferry 49');
    page.session.undo();
    await page.notebook.flush();
    expect((await page.store.get(openIdOf(page)))?.patch.title).toBe('Ferry 48');
  });

  it('opens after a reload what was open in this tab, as it was', async () => {
    const tab = new Map<string, string>();
    const page = await load(tab);
    const buoy = listed(page.notebook.getState().records.values())[1];
    await page.notebook.open(buoy?.id ?? '');
    page.retitle('Buoy at night');
    await page.notebook.flush();
    await load(); // another tab opens something else meanwhile
    const again = await load(tab);
    expect(again.session.getState().patch).toEqual({ ...demos[1], title: 'Buoy at night' });
    expect(again.titles()).toEqual(['Buoy at night', 'Ferry']);
  });

  it('takes over the last edit of a page that was closed before it could be kept', async () => {
    const tab = new Map<string, string>();
    const page = await load(tab, (store) => ({ ...store, write: () => new Promise(() => undefined) }));
    page.retitle('Ferry, late');
    page.notebook.hide();
    const again = await load(tab);
    expect(titleOf(again)).toBe('Ferry, late');
    expect(again.titles()).toEqual(['Ferry, late', 'Buoy']);
  });

  it('does not take over what was kept after all, nor put it over a newer one', async () => {
    const page = await load();
    page.retitle('Ferry, kept');
    page.notebook.hide();
    const noted = new Map(small);
    await page.notebook.flush();
    for (const [key, value] of noted) small.set(key, value);
    expect((await load()).titles()).toEqual(['Ferry, kept', 'Buoy']);
    const other = await load();
    other.retitle('Ferry, newer');
    await other.notebook.flush();
    for (const [key, value] of noted) small.set(key, value);
    expect((await load()).titles()).toEqual(expect.arrayContaining(['Ferry, kept (copy)', 'Ferry, newer', 'Buoy']));
  });

  it('keeps the edits of one patch apart from those of the next one opened', async () => {
    const page = await load();
    const ferry = openIdOf(page);
    page.retitle('Ferry, edited');
    page.notebook.create();
    page.retitle('New one');
    await page.notebook.flush();
    expect((await page.store.get(ferry))?.patch.title).toBe('Ferry, edited');
    expect((await page.store.get(openIdOf(page)))?.patch.title).toBe('New one');
  });
});

describe('trouble', () => {
  it('is said when storage is forbidden, and everything else works', async () => {
    const session = createSession();
    const notebook = createNotebook({
      session,
      catalogue: smallCatalogue,
      openStore: () => Promise.reject(new Error('denied')),
      journal: createJournal(undefined, 'x'),
      demos,
      now: () => ++clock,
      freshId: () => `id${++clock}`,
    });
    await notebook.start();
    expect(notebook.getState()).toMatchObject({ status: 'forgetful', trouble: expect.stringContaining('export') });
    expect(session.getState().patch.title).toBe('Ferry');
    notebook.create();
    expect(session.getState().patch.title).toBe('Untitled');
    expect(listed(notebook.getState().records.values())).toHaveLength(3);
    expect(notebook.atRisk()).toBe(false);
    session.run(setDetails(session.getState().patch, smallCatalogue, { details: { title: 'Unkept' } }));
    await notebook.flush();
    expect(notebook.atRisk()).toBe(true);
  });

  it('is said when the storage is full, and is over when the next edit is kept', async () => {
    let full = true;
    const page = await load(undefined, (store) => ({
      ...store,
      write: (...args) => (full ? Promise.reject(new DOMException('no room', 'QuotaExceededError')) : store.write(...args)),
    }));
    page.retitle('Ferry, heavy');
    await page.notebook.flush();
    expect(page.notebook.getState().trouble).toContain('full');
    expect(page.notebook.waiting()).toBe(true);
    expect(page.notebook.atRisk()).toBe(true);
    full = false;
    page.retitle('Ferry, light');
    await page.notebook.flush();
    expect(page.notebook.getState().trouble).toBeUndefined();
    expect(page.notebook.waiting()).toBe(false);
    expect(page.notebook.atRisk()).toBe(false);
    expect((await page.store.get(openIdOf(page)))?.patch.title).toBe('Ferry, light');
  });

  it('passes over an entry that cannot be read, and says why', async () => {
    const page = await load();
    const broken = { ...(await page.store.get(openIdOf(page)))!, patch: { title: 'Odd', blocks: [{ id: '?' }], cables: [] } };
    await page.store.write(broken as never);
    const again = await load();
    expect(titleOf(again)).toBe('Buoy');
    expect(again.notebook.getState().refused).toMatchObject([{ name: 'Odd' }]);
    expect(await again.notebook.open(broken.id)).toBe(false);
    expect(titleOf(again)).toBe('Buoy');
  });
});

describe('two tabs with the same patch', () => {
  it('tells the one that the other has written, which can then open the newer one', async () => {
    const [here, there] = [await load(), await load()];
    expect(openIdOf(here)).toBe(openIdOf(there));
    there.retitle('Ferry, there');
    await there.notebook.flush();
    await vi.waitFor(() => expect(here.notebook.getState().newerElsewhere).toBe(true));
    expect(titleOf(here)).toBe('Ferry');
    await here.notebook.takeNewer();
    expect(titleOf(here)).toBe('Ferry, there');
    expect(here.notebook.getState().newerElsewhere).toBe(false);
    here.retitle('Ferry, here');
    await here.notebook.flush();
    expect(here.titles()).toEqual(['Ferry, here', 'Buoy']);
  });

  it('never overwrites what it does not know: its edits go on in a copy, and it says so', async () => {
    const [here, there] = [await load(), await load()];
    const shared = openIdOf(here);
    there.retitle('Ferry, there');
    here.retitle('Ferry, here');
    await there.notebook.flush();
    await here.notebook.flush();
    await here.notebook.flush();
    expect((await here.store.get(shared))?.patch.title).toBe('Ferry, there');
    expect(openIdOf(here)).not.toBe(shared);
    expect((await here.store.get(openIdOf(here)))?.patch.title).toBe('Ferry, here (copy)');
    expect(here.session.getState().said?.text).toContain('another tab');
    expect(here.titles()).toEqual(['Ferry, here (copy)', 'Ferry, there', 'Buoy']);
  });

  it('can keep what is here in place of the newer one, or beside it', async () => {
    const [here, there] = [await load(), await load()];
    there.retitle('Ferry, there');
    await there.notebook.flush();
    await vi.waitFor(() => expect(here.notebook.getState().newerElsewhere).toBe(true));
    here.notebook.keepAsCopy();
    await here.notebook.flush();
    expect(here.titles()).toEqual(expect.arrayContaining(['Ferry (copy)', 'Ferry, there']));

    const third = await load();
    await third.notebook.open(openIdOf(there));
    there.retitle('Ferry, there again');
    await there.notebook.flush();
    await vi.waitFor(() => expect(third.notebook.getState().newerElsewhere).toBe(true));
    third.notebook.keepMine();
    await third.notebook.flush();
    expect((await there.store.get(openIdOf(there)))?.patch.title).toBe('Ferry, there');
    await vi.waitFor(() => expect(there.notebook.getState().newerElsewhere).toBe(true));
  });
});

describe('the entries', () => {
  it('can be made, renamed, duplicated, deleted and brought back', async () => {
    const page = await load();
    const buoy = listed(page.notebook.getState().records.values())[1]?.id ?? '';
    page.notebook.create();
    page.notebook.create();
    expect(page.titles()).toEqual(['Untitled', 'Ferry', 'Buoy']);
    await page.notebook.rename(buoy, '  Bell buoy ');
    const copy = await page.notebook.duplicate(buoy);
    expect(page.titles()).toEqual(['Bell buoy (copy)', 'Bell buoy', 'Untitled', 'Ferry']);
    await page.notebook.remove(copy ?? '');
    await page.notebook.remove(buoy);
    expect(page.titles()).toEqual(['Untitled', 'Ferry']);
    expect(page.notebook.getState().lately).toEqual([buoy]);
    await page.notebook.restore([buoy]);
    expect(page.titles()).toEqual(['Bell buoy', 'Untitled', 'Ferry']);
    await page.notebook.purge([copy ?? '']);
    expect((await load()).titles()).toEqual(['Bell buoy', 'Untitled', 'Ferry']);
  });

  it('renames the open patch as an edit that can be undone', async () => {
    const page = await load();
    await page.notebook.rename(openIdOf(page), 'Night ferry');
    expect(titleOf(page)).toBe('Night ferry');
    page.session.undo();
    expect(titleOf(page)).toBe('Ferry');
  });

  it('opens the next one when the open one is deleted, with all its edits kept', async () => {
    const page = await load();
    const ferry = openIdOf(page);
    page.retitle('Ferry, edited');
    await page.notebook.remove(ferry);
    expect(titleOf(page)).toBe('Buoy');
    await page.notebook.restore([ferry]);
    await page.notebook.open(ferry);
    expect(titleOf(page)).toBe('Ferry, edited');
    await page.notebook.remove(ferry);
    await page.notebook.remove(openIdOf(page));
    expect(page.session.getState().patch).toEqual(emptyPatch);
  });

  it('brings back demo patches beside edited ones, and only those that are missing', async () => {
    const page = await load();
    page.retitle('My ferry');
    await page.notebook.flush();
    await page.notebook.restoreDemos();
    expect([...page.titles()].sort()).toEqual(['Buoy', 'Ferry', 'My ferry']);
    await page.notebook.restoreDemos();
    expect(page.titles()).toHaveLength(3);
  });
});

describe('what is silenced in a patch', () => {
  const slow = { rule: 'slow-gate', block: 'env1', note: 'It is meant to come late.' };
  const silenced = (page: Page) => silencedOf(page.notebook.getState().records.get(openIdOf(page)));

  it('stays over edits and reloads, is not in its file, and can be brought back', async () => {
    const tab = new Map<string, string>();
    const page = await load(tab);
    page.notebook.silence(slow);
    page.notebook.silence({ rule: 'several-outputs' });
    page.retitle('Ferry by night');
    await page.notebook.flush();
    expect(silenced(page)).toEqual([slow, { rule: 'several-outputs' }]);
    expect(writePatch(page.session.getState().patch)).not.toContain('meant to come late');
    const again = await load(tab);
    expect(titleOf(again)).toBe('Ferry by night');
    expect(silenced(again)).toEqual([slow, { rule: 'several-outputs' }]);
    again.notebook.silence({ ...slow, note: 'Still.' });
    again.notebook.bringBack({ rule: 'several-outputs' });
    expect(silenced(again)).toEqual([{ ...slow, note: 'Still.' }]);
    again.notebook.bringBack({ rule: 'slow-gate', block: 'env2' });
    expect(silenced(again)).toHaveLength(1);
  });

  it('is not lost where it is silenced while an edit is being written', async () => {
    const tab = new Map<string, string>();
    let meanwhile = (): void => undefined;
    const page = await load(tab, (store) => ({
      ...store,
      async write(...args) {
        const newer = await store.write(...args);
        meanwhile();
        return newer;
      },
    }));
    page.retitle('Ferry in fog');
    meanwhile = () => page.notebook.silence(slow);
    await page.notebook.flush();
    meanwhile = () => undefined;
    expect(silenced(page)).toEqual([slow]);
    page.retitle('Ferry in thick fog');
    await page.notebook.flush();
    expect(silenced(await load(tab))).toEqual([slow]);
  });

  it('goes along with a copy', async () => {
    const page = await load();
    page.notebook.silence(slow);
    const copy = (await page.notebook.duplicate(openIdOf(page))) ?? '';
    expect(silencedOf(page.notebook.getState().records.get(copy))).toEqual([slow]);
  });

  it('of a damaged entry is passed over', () => {
    const entry = { ...createRecord('a', emptyPatch, 1, 's'), silenced: [slow, { rule: 7 }, 'x', null] } as unknown as NotebookRecord;
    expect(silencedOf(entry)).toEqual([slow]);
    expect(silencedOf({ ...entry, silenced: 'all' } as unknown as NotebookRecord)).toEqual([]);
  });
});

describe('importing', () => {
  const bell: Patch = { title: 'Bell', blocks: [{ id: 'out1', type: 'output' }], cables: [] };

  it('opens a single patch', async () => {
    const page = await load();
    await page.notebook.importFiles([file('bell.patch.json', writePatch(bell))]);
    expect(page.session.getState().patch).toEqual(bell);
    expect((await load()).titles()).toEqual(['Bell', 'Ferry', 'Buoy']);
  });

  it('lists several, and names what was refused with path and sentence', async () => {
    const page = await load();
    const bad = writePatch({ ...bell, blocks: [{ id: 'out1', type: 'output', settings: { level: 99 } }] });
    await page.notebook.importFiles([
      file('a.patch.json', writePatch(bell)),
      file('b.patch.json', bad),
      file('c', writePatch({ ...bell, title: 'Bell 2' })),
    ]);
    expect(page.titles()).toEqual(['Bell', 'Bell 2', 'Ferry', 'Buoy']);
    expect(titleOf(page)).toBe('Ferry');
    expect(page.notebook.getState().refused).toMatchObject([
      { name: 'b.patch.json', problems: [{ path: 'blocks[0].settings.level', rule: 'out-of-range' }] },
    ]);
    page.notebook.dismissRefused();
    expect(page.notebook.getState().refused).toEqual([]);
  });
});
