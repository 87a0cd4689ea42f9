/**
 * The scope with persistence: sweeps from the trigger's edges, the earlier ones behind the newest, paler with age. They are found anew
 * in what was recorded at each drawing, so nothing blinks: a line only grows paler. Who asked for little motion sees all earlier
 * sweeps in one pale tone.
 */
import { sweepsBack } from '../../measure/sweeps.ts';
import { findEdge, type Trigger } from '../../measure/trigger.ts';
import type { Drawing } from './drawing.ts';
import type { Lane, Window } from './lanes.ts';
import type { ScopeState } from './scopeStore.ts';

/** More would only darken the picture. */
const MOST_SWEEPS = 24;
const PALEST = 0.08;
const CALM = 0.25;

export interface Sweep {
  /** Frame at the left edge, counted from the start of the take or of the sound, between frames. */
  readonly at: number;
  /** Opacity. */
  readonly strength: number;
}

export const persists = ({ show, trigger, persistence }: ScopeState): boolean =>
  show === 'wave' && trigger !== undefined && persistence > 0;

export const triggerOf = ({ triggerVolts }: ScopeState): Trigger => ({ level: triggerVolts, hysteresis: 0.05, edge: 'rising' });

/**
 * Live windows begin at an edge already. Those of a take are moved to the first edge on the screen, and time counts from there;
 * where there is none, they stay.
 */
export function alignedToTrigger(drawing: Drawing): Drawing {
  const { windows, lanes, scope, axis, live } = drawing;
  const lead = windows[lanes.findIndex(({ name }) => name === scope.trigger)];
  if (live || !lead) return drawing;
  const first = Math.max(0, Math.floor(lead.from));
  const edge = findEdge(lead.samples, triggerOf(scope), first, Math.ceil(lead.from + axis.span * lead.rate));
  if (edge === undefined) return drawing;
  const seconds = (edge - lead.from) / lead.rate;
  return {
    ...drawing,
    windows: windows.map((window) => window && { ...window, from: window.from + seconds * window.rate }),
    axis: { start: 0, span: axis.span },
  };
}

/** Earlier sweeps, the oldest first. */
export function earlierSweeps({ lanes, windows, axis, scope, live, calm }: Drawing): readonly Sweep[] {
  const i = lanes.findIndex(({ name }) => name === scope.trigger);
  const [lane, window] = [lanes[i], windows[i]];
  if (!lane || !window) return [];
  const newest = window.startFrame + window.from;
  const reach = Math.ceil(scope.persistence * window.rate);
  const start = Math.max(0, Math.floor(newest) - reach);
  const seen = framesOf(lane, window, live, start, Math.floor(newest) - start + 2);
  const starts = sweepsBack(seen, triggerOf(scope), newest - start + 0.5, axis.span * window.rate, reach, MOST_SWEEPS + 1);
  return starts
    .map((from) => start + from)
    .filter((at) => at < newest - 1)
    .map((at) => ({ at, strength: calm ? CALM : Math.max(PALEST, 0.5 * (1 - (newest - at) / reach)) }))
    .reverse();
}

/** Frames `at` .. `at` + `count` - 1 of a lane; NaN where they are not kept. */
export function framesOf({ recorder }: Lane, window: Window, live: boolean, at: number, count: number): Float32Array {
  const out = new Float32Array(count).fill(Number.NaN);
  if (live) recorder.history?.copy(at, out);
  else {
    const first = at - window.startFrame;
    const from = Math.max(0, first);
    const part = window.samples.subarray(from, Math.max(from, first + count));
    out.set(part, from - first);
  }
  return out;
}
