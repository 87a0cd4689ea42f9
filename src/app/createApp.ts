/** The page's stores around a catalogue. */
import { type BlockSpec, createCatalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import type { BlockSymbol } from '../patch/symbol.ts';
import type { App } from './app.ts';
import { createListening, type ListeningParts } from './listen/listening.ts';
import { createProbeHub } from './listen/probeHub.ts';
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
  /** Live sound and takes; left out where there is no sound card (tests). */
  readonly sound?: Pick<ListeningParts, 'openLive' | 'openTakes'>;
}

const silence: Pick<ListeningParts, 'openLive' | 'openTakes'> = {
  openLive: () => Promise.reject(new Error('There is no sound here.')),
  openTakes: () => ({ render: () => undefined, cancel: () => undefined }),
};

export function createApp({ specs, symbols, docs = {}, patch, kept, sound = silence }: AppParts): App {
  const catalogue = createCatalogue(specs);
  const session = createSession(patch);
  const traces = createTraceHub();
  const probes = createProbeHub();
  return {
    specs,
    catalogue,
    symbols,
    docs,
    session,
    view: createView(kept),
    traces,
    marks: createMarks(),
    probes,
    listening: createListening({ session, specs, catalogue, traces, probes, ...sound }),
    sketch: { current: undefined },
  };
}
