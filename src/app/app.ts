/** What every part of the page shares, reached by React context so that tests can pass their own. */
import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import type { BlockSpec, Catalogue } from '../patch/blockSpec.ts';
import type { BlockSymbol } from '../patch/symbol.ts';
import type { MarksState, MarksStore } from './store/marks.ts';
import type { Session, SessionState } from './store/session.ts';
import type { TraceHub } from './store/traces.ts';
import type { ViewStore } from './store/view.ts';
import type { ViewState } from './store/viewState.ts';

export interface App {
  readonly specs: readonly BlockSpec[];
  readonly catalogue: Catalogue;
  readonly symbols: Readonly<Record<string, BlockSymbol>>;
  /** Help texts (Markdown) by block type. */
  readonly docs: Readonly<Record<string, string>>;
  readonly session: Session;
  readonly view: ViewStore;
  readonly traces: TraceHub;
  readonly marks: MarksStore;
}

export const AppContext = createContext<App | undefined>(undefined);

export function useApp(): App {
  const app = useContext(AppContext);
  if (!app) throw new Error('useApp needs an <AppContext> around it');
  return app;
}

/** A part of the session; re-renders only when that part differs. */
export function useSession<T>(select: (state: SessionState) => T): T {
  return useStore(useApp().session, select);
}

export function useView<T>(select: (state: ViewState) => T): T {
  return useStore(useApp().view, select);
}

export function useMarks<T>(select: (state: MarksState) => T): T {
  return useStore(useApp().marks, select);
}
