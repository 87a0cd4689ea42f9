/** How the page looks just now: theme, pages, panels. Nothing here is part of the patch or of undo. */
import { createStore, type StoreApi } from 'zustand/vanilla';
import { keeping } from './keeping.ts';
import { initialView, type ViewState } from './viewState.ts';

export type ViewStore = StoreApi<ViewState>;

/** What the view needs of `localStorage`; tests pass a stand-in. */
export type KeyValueStore = Pick<Storage, 'getItem' | 'setItem'>;

export const VIEW_KEY = 'signal-sketchbook/view';

const keys = Object.keys(initialView) as (keyof ViewState)[];
const keptKeys = keys.filter((key) => keeping[key] === 'browser');

/** The view store; what `keeping` says is kept in the browser is read from and written to `kept`. */
export function createView(kept?: KeyValueStore): ViewStore {
  const store = createStore<ViewState>()(() => ({ ...initialView, ...readKept(kept) }));
  if (kept) {
    store.subscribe((now, before) => {
      if (keptKeys.some((key) => now[key] !== before[key])) writeKept(kept, now);
    });
  }
  return store;
}

/** Kept values that still have the right type; anything else is forgotten. */
function readKept(kept: KeyValueStore | undefined): Partial<ViewState> {
  try {
    const stored: unknown = JSON.parse(kept?.getItem(VIEW_KEY) ?? '{}');
    if (typeof stored !== 'object' || stored === null) return {};
    const sound = Object.entries(stored).filter(([name, value]) => {
      const key = keptKeys.find((known) => known === name);
      if (key === 'theme') return value === 'system' || value === 'light' || value === 'dark';
      return key !== undefined && typeof value === typeof initialView[key];
    });
    return Object.fromEntries(sound);
  } catch {
    return {};
  }
}

function writeKept(kept: KeyValueStore, view: ViewState): void {
  try {
    kept.setItem(VIEW_KEY, JSON.stringify(Object.fromEntries(keptKeys.map((key) => [key, view[key]]))));
  } catch {
    // A full or forbidden storage only means that a preference is forgotten.
  }
}
