// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { keeping } from './keeping.ts';
import { createView, type KeyValueStore } from './view.ts';
import { initialView } from './viewState.ts';

function memory(entries: Record<string, string> = {}): KeyValueStore & { readonly entries: Record<string, string> } {
  return {
    entries,
    getItem: (key) => entries[key] ?? null,
    setItem: (key, value) => {
      entries[key] = value;
    },
  };
}

describe('the view', () => {
  it('keeps in the browser what the table says, and nothing else', () => {
    const kept = memory();
    createView(kept).setState({ theme: 'dark', page: 'sheet', trayHeight: 300, palette: true });
    const again = createView(kept).getState();
    for (const key of Object.keys(initialView) as (keyof typeof initialView)[]) {
      const expected = { theme: 'dark', trayHeight: 300 }[key as string];
      expect([key, again[key]]).toEqual([key, keeping[key] === 'browser' ? (expected ?? initialView[key]) : initialView[key]]);
    }
  });

  it.each(['not JSON', '[]', '{"theme":"neon","trayHeight":"tall"}', 'null'])('forgets what it cannot read: %s', (text) => {
    expect(createView(memory({ 'signal-sketchbook/view': text })).getState()).toEqual(initialView);
  });

  it('works where storage is forbidden', () => {
    const forbidden: KeyValueStore = {
      getItem: () => {
        throw new Error('denied');
      },
      setItem: () => {
        throw new Error('denied');
      },
    };
    const view = createView(forbidden);
    view.setState({ theme: 'light' });
    expect(view.getState().theme).toBe('light');
  });
});
