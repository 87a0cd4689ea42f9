/** What every part of the page shares, reached by React context so that tests can pass their own. */
import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import type { BlockSpec, Catalogue } from '../patch/blockSpec.ts';
import type { BlockSymbol } from '../patch/symbol.ts';
import type { Answers } from './answers/answers.ts';
import type { Ear, EarState } from './ear/ear.ts';
import type { Explaining } from './explain/explaining.ts';
import type { Checks, ChecksState } from './findings/checks.ts';
import type { ReasonsState, ReasonsStore } from './findings/reasons.ts';
import type { SilenceState, SilenceStore } from './findings/silence.ts';
import type { TakeChecks, TakeChecksState } from './findings/takeChecks.ts';
import type { Keyboard } from './listen/keyboard.ts';
import type { Listening, ListeningState } from './listen/listening.ts';
import type { LiveInput } from './listen/liveInput.ts';
import type { Midi } from './listen/midi.ts';
import type { Playing, PlayingState } from './listen/playing.ts';
import type { ProbeHub } from './listen/probeHub.ts';
import type { Notebook, NotebookState } from './notebook/notebookTypes.ts';
import type { Sounds } from './sounds/sounds.ts';
import type { HighlightState, HighlightStore } from './store/highlight.ts';
import type { MarksState, MarksStore } from './store/marks.ts';
import type { Session, SessionState } from './store/session.ts';
import type { TraceHub } from './store/traces.ts';
import type { ViewStore } from './store/view.ts';
import type { ViewState } from './store/viewState.ts';
import type { Comparison, ComparisonState } from './takePlayer/comparison.ts';
import type { HeardSounds, HeardState } from './takePlayer/heardSounds.ts';
import type { TakePlayer, TakePlayerState } from './takePlayer/takePlayer.ts';

/** What other parts of the page ask of the sketch. */
export interface SketchHandle {
  /** Places a function where there is room, selects it and returns its id. */
  place(type: string): string | undefined;
  /** A function is dragged over the page, at a point in CSS pixels of the window. True over the sketch. */
  dragOver(type: string, x: number, y: number): boolean;
  /** The dragged function is let go: placed if that is on the sketch. */
  drop(type: string, x: number, y: number): void;
  dragCancel(): void;
  /** Brings blocks into view and selects them. */
  reveal(blocks: readonly string[]): void;
  /** Brings blocks into view without selecting them. */
  show(blocks: readonly string[]): void;
  /** Shows the whole drawing. */
  fit(): void;
}

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
  readonly checks: Checks;
  readonly takeChecks: TakeChecks;
  /** Why it is so loud, distorted, out of tune, off the beat. */
  readonly reasons: ReasonsStore;
  readonly probes: ProbeHub;
  readonly sounds: Sounds;
  readonly listening: Listening;
  readonly ear: Ear;
  readonly heardSounds: HeardSounds;
  readonly comparison: Comparison;
  readonly takePlayer: TakePlayer;
  readonly liveInput: LiveInput;
  readonly playing: Playing;
  readonly keyboard: Keyboard;
  readonly midi: Midi;
  readonly notebook: Notebook;
  readonly answers: Answers;
  /** Why the take is silent. */
  readonly silence: SilenceStore;
  /** What the patch does, in sentences. */
  readonly explaining: Explaining;
  /** What an answer points at on the sketch. */
  readonly highlight: HighlightStore;
  /** The sketch while it is on the page. */
  readonly sketch: { current: SketchHandle | undefined };
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

export function useListening<T>(select: (state: ListeningState) => T): T {
  return useStore(useApp().listening, select);
}

export function useNotebook<T>(select: (state: NotebookState) => T): T {
  return useStore(useApp().notebook, select);
}

export function useHighlight<T>(select: (state: HighlightState) => T): T {
  return useStore(useApp().highlight, select);
}

export function useChecks<T>(select: (state: ChecksState) => T): T {
  return useStore(useApp().checks, select);
}

export function useSilence<T>(select: (state: SilenceState) => T): T {
  return useStore(useApp().silence, select);
}

export function useTakeChecks<T>(select: (state: TakeChecksState) => T): T {
  return useStore(useApp().takeChecks, select);
}

export function useReasons<T>(select: (state: ReasonsState) => T): T {
  return useStore(useApp().reasons, select);
}

export function usePlaying<T>(select: (state: PlayingState) => T): T {
  return useStore(useApp().playing, select);
}

export function useTakePlayer<T>(select: (state: TakePlayerState) => T): T {
  return useStore(useApp().takePlayer, select);
}

export function useEar<T>(select: (state: EarState) => T): T {
  return useStore(useApp().ear, select);
}

export function useHeard<T>(select: (state: HeardState) => T): T {
  return useStore(useApp().heardSounds, select);
}

export function useComparison<T>(select: (state: ComparisonState) => T): T {
  return useStore(useApp().comparison, select);
}
