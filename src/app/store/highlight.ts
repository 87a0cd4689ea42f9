/** What an answer points at on the sketch: blocks, and cables by the input they end in. Whoever answers writes it; the sketch shows it. */
import { createStore, type StoreApi } from 'zustand/vanilla';

export interface HighlightState {
  /** Block ids. */
  readonly blocks: ReadonlySet<string>;
  /** Cables by input name ("block.port"), each with its weight, 0..1. */
  readonly cables: ReadonlyMap<string, number>;
}

export type HighlightStore = StoreApi<HighlightState>;

export const nothingHighlighted: HighlightState = { blocks: new Set(), cables: new Map() };

export function createHighlight(): HighlightStore {
  return createStore<HighlightState>()(() => nothingHighlighted);
}
