/**
 * Where each piece of state is kept, in one place. Undo follows the document only: what is kept
 * in the browser or nowhere is never in the history.
 */
import type { SessionState } from './session.ts';
import type { ViewState } from './viewState.ts';

/** 'document': in the patch file. 'browser': a preference of this browser. 'nowhere': forgotten on reload. */
export type Keeping = 'document' | 'browser' | 'nowhere';

export const keeping = {
  // session
  patch: 'document',
  history: 'nowhere',
  gesture: 'nowhere',
  selection: 'nowhere',
  said: 'nowhere',
  opened: 'nowhere',
  // view
  theme: 'browser',
  traces: 'browser',
  functionsShown: 'browser',
  stripShown: 'browser',
  trayShown: 'browser',
  trayHeight: 'browser',
  playKeys: 'browser',
  page: 'nowhere',
  drawer: 'nowhere',
  palette: 'nowhere',
} as const satisfies Record<keyof SessionState | keyof ViewState, Keeping>;
