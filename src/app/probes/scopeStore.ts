/** How the scope is set: forgotten with the page, except that it is shared by all probes. */
import { createStore, type StoreApi } from 'zustand/vanilla';

export type ScopeShow = 'wave' | 'spectrum' | 'spectrogram' | 'xy' | 'gates' | 'notes' | 'figures';
/** Volts at the lanes' lower and upper edge; 'auto' fits each lane. */
export type VoltRange = 'auto' | readonly [number, number];

export interface ScopeState {
  readonly show: ScopeShow;
  /** Seconds across the screen. */
  readonly span: number;
  /** Second of the take at the left edge, while nothing sounds. */
  readonly start: number;
  readonly volts: VoltRange;
  /** Probe ("block.port") whose rising edge the live trace starts at; undefined: free-running. */
  readonly trigger: string | undefined;
  readonly triggerVolts: number;
  /** Seconds for which earlier sweeps stay, behind the newest; 0: none. */
  readonly persistence: number;
  /** Probes of the X-Y picture: across and up; undefined: the first and the second. */
  readonly across: string | undefined;
  readonly up: string | undefined;
  /** What of a long take is read for its spectrogram at present; undefined: what is on the screen. */
  readonly piece: Shown | undefined;
  readonly frozen: boolean;
  /** Below the overview a row for every recorded output. */
  readonly all: boolean;
}

export type ScopeStore = StoreApi<ScopeState>;

export const spans: readonly number[] = [0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 12, 20, 30, 60];

export const persistences: readonly number[] = [0, 0.2, 1, 4];

export const voltRanges: readonly (readonly [string, VoltRange])[] = [
  ['fit', 'auto'],
  ['±1 V', [-1, 1]],
  ['±5 V', [-5, 5]],
  ['±10 V', [-10, 10]],
  ['0 to 10 V', [0, 10]],
];

export function createScope(span: number): ScopeStore {
  return createStore<ScopeState>()(() => ({
    show: 'wave',
    span,
    start: 0,
    volts: 'auto',
    trigger: undefined,
    triggerVolts: 0,
    persistence: 0,
    across: undefined,
    up: undefined,
    piece: undefined,
    frozen: false,
    all: false,
  }));
}

export function spanText(seconds: number): string {
  if (seconds >= 1) return `${Number(seconds.toFixed(2))} s`;
  return `${Number((seconds * 1000).toFixed(seconds < 0.01 ? 2 : 0))} ms`;
}

/** The nearest that one may look: 20 samples at the rate of takes. */
export const LEAST_SAMPLES = 20;
export const LEAST_SPAN = LEAST_SAMPLES / 48000;

/** Visible seconds. */
export type Shown = Pick<ScopeState, 'span' | 'start'>;

/** Zooms about a point (0..1 across the screen), never beyond the take. */
export function zoomed(state: Shown, factor: number, about: number, length: number): Shown {
  const span = Math.min(Math.max(state.span * factor, LEAST_SPAN), Math.max(length, LEAST_SPAN));
  const start = state.start + (state.span - span) * about;
  return { span, start: within(start, span, length) };
}

/** Keys and buttons zoom about the playhead where it is on the screen, else about the middle. */
export function zoomCentre({ start, span }: Shown, playhead: number): number {
  const at = (playhead - start) / span;
  return at > 0 && at < 1 ? at : 0.5;
}

export function within(start: number, span: number, length: number): number {
  return Math.max(0, Math.min(start, length - span));
}

/** From one second to another, in any order. */
export function between(a: number, b: number, length: number): Shown {
  const start = Math.max(0, Math.min(a, b));
  const span = Math.max(LEAST_SPAN, Math.min(length, Math.max(a, b)) - start);
  return { span, start: within(start, span, length) };
}

/** The same view in a take of another length: the whole take stays the whole take. */
export function fitted(state: Shown, before: number, length: number): Shown {
  const span = state.span >= before ? length : Math.min(state.span, length);
  return { span, start: within(state.start, span, length) };
}
