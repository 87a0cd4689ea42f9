/** The page's stores around a catalogue. */
import { type BlockSpec, createCatalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import type { BlockSymbol } from '../patch/symbol.ts';
import type { App } from './app.ts';
import { createMarks } from './store/marks.ts';
import { createSession } from './store/session.ts';
import { createTraceHub } from './store/traces.ts';
import { createView, type KeyValueStore } from './store/view.ts';

export interface AppParts {
  readonly specs: readonly BlockSpec[];
  readonly symbols: Readonly<Record<string, BlockSymbol>>;
  readonly docs?: Readonly<Record<string, string>>;
  readonly patch?: Patch;
  readonly kept?: KeyValueStore;
}

export function createApp({ specs, symbols, docs = {}, patch, kept }: AppParts): App {
  return {
    specs,
    catalogue: createCatalogue(specs),
    symbols,
    docs,
    session: createSession(patch),
    view: createView(kept),
    traces: createTraceHub(),
    marks: createMarks(),
  };
}
