/**
 * Before and after in figures: how loud each is, so that they can be compared at equal loudness, and what changed. Worked out in
 * slices, and only while somebody wants to know.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import { type LoudnessMatch, matchLoudness, type WhatChanged, whatChanged } from '../../insight/whatChanged.ts';
import { SoundDescriber, type SoundFigures } from '../../measure/soundFigures.ts';
import type { HeardSound, HeardSounds } from './heardSounds.ts';

export interface ComparisonState {
  /** By how much each is turned down; undefined until both are measured. */
  readonly match: LoudnessMatch | undefined;
  readonly what: WhatChanged | undefined;
}

export interface Comparison extends StoreApi<ComparisonState> {
  /** Measures from now on, until the function that comes back is called. */
  want(): () => void;
}

export interface ComparisonParts {
  readonly heard: HeardSounds;
  /** Runs a slice of work when the page has had time for something else. */
  readonly later: (work: () => void) => void;
}

/** A slice of work. */
const SLICE_MS = 8;

export function createComparison({ heard, later }: ComparisonParts): Comparison {
  const store = createStore<ComparisonState>()(() => ({ match: undefined, what: undefined }));
  const { setState } = store;
  /** By the sound: while an edit goes on, what was measured before stays measured. */
  const figures = new WeakMap<HeardSound, SoundFigures>();
  let job: { readonly sound: HeardSound; readonly describer: SoundDescriber } | undefined;
  let wanted = 0;
  let running = false;

  /** One of the two that is not measured yet. */
  const missing = (): HeardSound | undefined => {
    const { before, after } = heard.getState();
    if (!before || !after) return undefined;
    return [before, after].find((sound) => !figures.has(sound));
  };

  const show = (): void => {
    const { before, after } = heard.getState();
    const [b, a] = [before && figures.get(before), after && figures.get(after)];
    if (!before || !after || !b || !a) return;
    const side = ({ left, right }: HeardSound) => [left, right];
    setState({
      match: matchLoudness(b, a),
      what: whatChanged({ channels: side(before), figures: b }, { channels: side(after), figures: a }),
    });
  };

  const work = (): void => {
    running = false;
    const sound = missing();
    if (wanted === 0 || !sound) return;
    if (job?.sound !== sound) job = { sound, describer: new SoundDescriber([sound.left, sound.right], sound.rate) };
    const until = performance.now() + SLICE_MS;
    let found: SoundFigures | undefined;
    while (!found && performance.now() < until) found = job.describer.advance();
    if (found) {
      figures.set(sound, found);
      job = undefined;
      if (!missing()) show();
    }
    begin();
  };

  const begin = (): void => {
    if (running || wanted === 0 || !missing()) return;
    running = true;
    later(work);
  };

  heard.subscribe(() => {
    setState({ match: undefined, what: undefined });
    if (wanted === 0) return;
    if (missing()) begin();
    else show();
  });

  return Object.assign(store, {
    want() {
      wanted++;
      if (missing()) begin();
      else if (!store.getState().what) show();
      let on = true;
      return () => {
        if (on) wanted--;
        on = false;
      };
    },
  });
}
