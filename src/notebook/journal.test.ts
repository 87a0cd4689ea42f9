// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { createJournal, type JournalStore } from './journal.ts';
import { createRecord } from './record.ts';

function memory(): JournalStore & { readonly entries: Map<string, string> } {
  const entries = new Map<string, string>();
  return {
    entries,
    get length() {
      return entries.size;
    },
    key: (i) => [...entries.keys()][i] ?? null,
    getItem: (key) => entries.get(key) ?? null,
    setItem: (key, value) => void entries.set(key, value),
    removeItem: (key) => void entries.delete(key),
  };
}

const entry = { record: createRecord('a', { title: 'Bell', blocks: [], cables: [] }, 5, 's2'), known: 's1' };

describe('the journal', () => {
  it('hands over what every tab noted, once', () => {
    const store = memory();
    store.setItem('something else', '1');
    expect(createJournal(store, 'one').note(entry)).toBe(true);
    expect(createJournal(store, 'two').note({ ...entry, known: 's0' })).toBe(true);
    expect(createJournal(store, 'three').take()).toEqual([entry, { ...entry, known: 's0' }]);
    expect(createJournal(store, 'three').take()).toEqual([]);
    expect([...store.entries.keys()]).toEqual(['something else']);
  });

  it('keeps only the newest of a tab, and nothing once it is kept elsewhere', () => {
    const store = memory();
    const journal = createJournal(store, 'one');
    journal.note({ ...entry, known: 's0' });
    journal.note(entry);
    expect(createJournal(store, 'two').take()).toEqual([entry]);
    journal.note(entry);
    journal.clear();
    expect(createJournal(store, 'two').take()).toEqual([]);
  });

  it('passes over what it cannot read', () => {
    const store = memory();
    store.setItem('signal-sketchbook/unkept/x', '{"record":{}}');
    store.setItem('signal-sketchbook/unkept/y', 'no JSON');
    expect(createJournal(store, 'one').take()).toEqual([]);
    expect(store.entries.size).toBe(0);
  });

  it('works without storage and in a full one', () => {
    expect(createJournal(undefined, 'one').note(entry)).toBe(false);
    const full: JournalStore = {
      ...memory(),
      setItem: () => {
        throw new Error('full');
      },
    };
    expect(createJournal(full, 'one').note(entry)).toBe(false);
  });
});
