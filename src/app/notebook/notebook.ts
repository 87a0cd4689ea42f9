/** The notebook of this browser: which patches there are, which one is open, and everything that can be done with them. */
import { createStore } from 'zustand/vanilla';
import { readFiles } from '../../notebook/files.ts';
import { copyTitle, listed } from '../../notebook/list.ts';
import {
  createRecord,
  type NotebookRecord,
  readRecord,
  type Silenced,
  silencedOf,
  withoutSilenced,
  withSilenced,
} from '../../notebook/record.ts';
import { createMemoryStore, type NotebookStore, type Touch, touched } from '../../notebook/store.ts';
import { applyChange } from '../../patch/change.ts';
import { setDetails } from '../../patch/commands/setDetails.ts';
import { emptyPatch, type Patch } from '../../patch/document.ts';
import { isRefusal } from '../../patch/refusal.ts';
import { sameData } from '../../patch/sameData.ts';
import { type Autosave, createAutosave } from './autosave.ts';
import { lastOpen, rememberOpen, takeOver } from './begin.ts';
import type { Notebook, NotebookActions, NotebookParts, NotebookState } from './notebookTypes.ts';
import { FORGETFUL, failureText } from './trouble.ts';

export function createNotebook(parts: NotebookParts): Notebook {
  const { session, catalogue, now, freshId } = parts;
  let store: NotebookStore = createMemoryStore();
  const tab = freshId();
  let stamps = 0;
  /** Resolves when the storage is open. */
  let openedStore = (): void => undefined;
  const storeOpen = new Promise<void>((resolve) => {
    openedStore = resolve;
  });
  /** Something was edited: in a storage that forgets, it would be lost. */
  let edited = false;
  const freshStamp = (): string => `${tab}.${++stamps}`;

  const state = createStore<NotebookState>()(() => ({
    status: 'starting',
    records: new Map(),
    trouble: undefined,
    newerElsewhere: false,
    refused: [],
    lately: [],
  }));
  const { getState, setState } = state;
  const openId = (): string | undefined => session.getState().opened.id;
  const record = (id: string): NotebookRecord | undefined => getState().records.get(id);

  const put = (entries: readonly NotebookRecord[]): void => {
    const records = new Map(getState().records);
    for (const entry of entries) records.set(entry.id, entry);
    setState({ records });
  };

  const fail = (error: unknown): void => setState({ trouble: failureText(error) });
  /** Runs something on the storage; a failure is said and gives undefined. */
  const attempt = async <T>(work: () => Promise<T>): Promise<T | undefined> => {
    try {
      return await work();
    } catch (error) {
      fail(error);
      return undefined;
    }
  };

  const autosave: Autosave = createAutosave({
    session,
    store: () => store,
    journal: parts.journal,
    now,
    freshStamp,
    recordOf: record,
    onKept(entry) {
      // what was silenced while it was being written stays
      put([touched(entry, { silenced: silencedOf(record(entry.id)) })]);
      edited = true;
      if (getState().trouble && getState().status === 'kept') setState({ trouble: undefined });
    },
    onConflict(id, patch, newer) {
      put([newer]);
      if (id === openId()) goOnInCopy('This patch was changed in another tab. Your edits go on in a copy');
      else void add([{ ...patch, title: freshCopyTitle(patch.title) }]);
    },
    onFailure: fail,
  });

  const freshCopyTitle = (title: string | undefined): string =>
    copyTitle(
      title,
      listed(getState().records.values()).map(({ patch }) => patch.title),
    );

  /** The open document gets an entry of its own. */
  function goOnInCopy(say: string): void {
    const { patch, opened } = session.getState();
    const before = opened.id === undefined ? undefined : record(opened.id);
    const id = freshId();
    const title = freshCopyTitle(patch.title);
    session.setState({ opened: { ...opened, id } });
    rememberOpen(parts.tab, id);
    setState({ newerElsewhere: false });
    session.run(setDetails(patch, catalogue, { details: { title }, label: 'Go on in a copy' }));
    autosave.keep(id, session.getState().patch);
    void autosave.flush().then(() => putSilenced(id, () => silencedOf(before)));
    session.say(`${say}, "${title}".`);
  }

  /** New entries, the first one newest. */
  async function add(patches: readonly Patch[]): Promise<readonly string[]> {
    const time = now();
    const entries = patches.map((patch, i) => ({ ...createRecord(freshId(), patch, time, freshStamp()), changed: time - i }));
    put(entries);
    for (const entry of entries) await attempt(() => store.write(entry));
    return entries.map(({ id }) => id);
  }

  function show(entry: NotebookRecord, patch: Patch): void {
    autosave.know(entry.id, entry.stamp);
    session.open(patch, entry.id);
    rememberOpen(parts.tab, entry.id);
    const touch: Touch = { opened: now() };
    put([touched(entry, touch)]);
    setState({ newerElsewhere: false });
    void attempt(() => store.touch(entry.id, touch));
  }

  /** Opens the first of these that can be read. */
  function showFirst(entries: readonly NotebookRecord[]): boolean {
    for (const entry of entries) {
      const result = readRecord(entry, catalogue);
      if ('patch' in result) {
        show(entry, result.patch);
        return true;
      }
      setState({ refused: [...getState().refused, { name: entry.patch.title || 'Untitled', problems: result.problems }] });
    }
    return false;
  }

  function showNew(patch: Patch = emptyPatch): void {
    const entry = createRecord(freshId(), patch, now(), freshStamp());
    put([entry]);
    show(entry, patch);
    void attempt(() => store.write(entry));
  }

  async function touchAll(ids: readonly string[], touch: Touch): Promise<void> {
    put(ids.flatMap((id) => record(id) ?? []).map((entry) => touched(entry, touch)));
    for (const id of ids) await attempt(() => store.touch(id, touch));
  }

  /** Another tab has written. */
  async function hear(ids: readonly string[]): Promise<void> {
    for (const id of ids) {
      const entry = await attempt(() => store.get(id));
      if (entry) put([entry]);
      else dropFromList([id]);
      if (id !== openId() || !entry) continue;
      if (entry.stamp !== autosave.knows(id)) setState({ newerElsewhere: true });
      else if (entry.trashed !== undefined) session.say('This patch was deleted in another tab; your next edit brings it back.');
    }
  }

  function dropFromList(ids: readonly string[]): void {
    const records = new Map(getState().records);
    for (const id of ids) records.delete(id);
    setState({ records, lately: getState().lately.filter((id) => !ids.includes(id)) });
  }

  const actions: NotebookActions = {
    async start() {
      const untouched = session.getState();
      const lost = (): void => setState({ status: 'forgetful', trouble: FORGETFUL });
      try {
        store = await parts.openStore(lost);
        await takeOver(parts, store, freshStamp);
        const records = await store.all();
        setState({ status: 'kept', records: new Map(records.map((entry) => [entry.id, entry])) });
        store.onChange((ids) => void hear(ids));
      } catch {
        store = createMemoryStore();
        lost();
        await takeOver(parts, store, freshStamp);
        put(await store.all());
      }
      openedStore();
      const { patch, opened } = session.getState();
      if (opened.count !== untouched.opened.count || patch !== untouched.patch) {
        // Somebody was quicker than the storage: what they made is kept as a patch of its own.
        showNew(patch);
        return;
      }
      const last = lastOpen(parts.tab);
      const byOpened = [...listed(getState().records.values())].sort((a, b) => b.opened - a.opened);
      const wanted = [...byOpened.filter(({ id }) => id === last), ...byOpened.filter(({ id }) => id !== last)];
      if (!showFirst(wanted)) showNew();
    },
    create() {
      const { patch, opened } = session.getState();
      if (opened.id !== undefined && sameData(patch, emptyPatch)) return;
      showNew();
    },
    async open(id) {
      await autosave.flush();
      if (id === openId() && !getState().newerElsewhere) return true;
      const entry = (await attempt(() => store.get(id))) ?? record(id);
      return entry !== undefined && showFirst([entry]);
    },
    async rename(id, title) {
      const patch = actions.patchOf(id);
      if (!patch || (patch.title ?? '') === title.trim()) return;
      const change = setDetails(patch, catalogue, { details: { title: title.trim() }, label: 'Rename the patch' });
      if (id === openId()) session.run(change);
      else if (isRefusal(change)) session.say(change.say, 'refusal');
      else await rewrite(id, applyChange(patch, change));
    },
    async duplicate(id) {
      const patch = actions.patchOf(id);
      if (!patch) return undefined;
      const title = freshCopyTitle(patch.title);
      const [copy] = await add([{ ...patch, title }]);
      putSilenced(copy, () => silencedOf(record(id)));
      session.say(`"${title}" was added.`);
      return copy;
    },
    async remove(id) {
      const entry = record(id);
      if (!entry) return;
      if (id === openId()) await autosave.flush();
      setState({ lately: [id] });
      await touchAll([id], { trashed: now() });
      if (id === openId() && !showFirst(listed(getState().records.values()))) showNew();
    },
    async restore(ids) {
      setState({ lately: getState().lately.filter((id) => !ids.includes(id)) });
      await touchAll(ids, { trashed: null });
    },
    async purge(ids) {
      dropFromList(ids);
      await attempt(() => store.remove(ids));
    },
    async importFiles(files) {
      const { patches, refused } = await readFiles(files, catalogue);
      setState({ refused });
      const ids = await add(patches);
      const [only] = ids;
      if (only !== undefined && ids.length === 1 && refused.length === 0) await actions.open(only);
      if (ids.length > 0)
        session.say(ids.length === 1 ? `"${patches[0]?.title || 'Untitled'}" was imported.` : `${ids.length} patches were imported.`);
      if (refused.length > 0)
        session.say(refused.length === 1 ? 'One file was refused.' : `${refused.length} files were refused.`, 'refusal');
      return ids;
    },
    async restoreDemos() {
      const there = listed(getState().records.values());
      const missing = parts.demos.filter((demo) => !there.some(({ patch }) => sameData(patch, demo)));
      await add(missing);
      if (missing.length === 0) session.say('All demo patches are there as they were.');
      else session.say(missing.length === 1 ? 'One demo patch was added.' : `${missing.length} demo patches were added.`);
    },
    patchOf: (id) => (id === openId() ? session.getState().patch : record(id)?.patch),
    async takeNewer() {
      const id = openId();
      const entry = id === undefined ? undefined : await attempt(() => store.get(id));
      if (entry) showFirst([entry]);
    },
    keepAsCopy: () => goOnInCopy('Your patch goes on as a copy'),
    keepMine() {
      const { patch, opened } = session.getState();
      const entry = opened.id === undefined ? undefined : record(opened.id);
      setState({ newerElsewhere: false });
      if (!entry) return;
      autosave.know(entry.id, entry.stamp);
      autosave.keep(entry.id, patch);
      void autosave.flush();
    },
    async soundFile(sha256) {
      await storeOpen;
      return attempt(() => store.sound(sha256));
    },
    async keepSoundFile(sha256, bytes) {
      await storeOpen;
      await attempt(() => store.keepSound({ sha256, bytes, kept: now() }));
    },
    silence: (what) => putSilenced(openId(), (list) => withSilenced(list, what)),
    bringBack: (what) => putSilenced(openId(), (list) => withoutSilenced(list, what)),
    dismissRefused: () => setState({ refused: [] }),
    forgetLately: () => setState({ lately: [] }),
    flush: () => autosave.flush(),
    hide: () => autosave.hide(),
    waiting: () => autosave.waiting(),
    atRisk: () => getState().trouble !== undefined && (autosave.waiting() || (edited && getState().status === 'forgetful')),
  };

  function putSilenced(id: string | undefined, change: (list: readonly Silenced[]) => readonly Silenced[]): void {
    const entry = id === undefined ? undefined : record(id);
    if (!entry) return;
    void touchAll([entry.id], { silenced: change(silencedOf(entry)) });
  }

  async function rewrite(id: string, patch: Patch): Promise<void> {
    const before = record(id);
    if (!before) return;
    const entry: NotebookRecord = { ...before, patch, changed: now(), stamp: freshStamp() };
    const newer = await attempt(() => store.write(entry, before.stamp));
    put([newer ?? entry]);
    if (newer) session.say('This patch was changed in another tab meanwhile; try again.', 'refusal');
  }

  return Object.assign(state, actions);
}
