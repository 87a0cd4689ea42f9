/** Findings and faults pinned to blocks on the sketch. Whoever finds them writes the map; the sketch shows it. */
import { createStore, type StoreApi } from 'zustand/vanilla';

export interface Mark {
  readonly severity: 'error' | 'warning' | 'note';
  /** One plain sentence. */
  readonly say: string;
}

export interface MarksState {
  /** By block id. */
  readonly marks: ReadonlyMap<string, Mark>;
}

export type MarksStore = StoreApi<MarksState>;

export function createMarks(): MarksStore {
  return createStore<MarksState>()(() => ({ marks: new Map() }));
}
