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
  const describers = new WeakMap<HeardSound, SoundDescriber>();
  let wanted = 0;
  let running = false;

  const pair = (): readonly [HeardSound, HeardSound] | undefined => {
    const { before, after } = heard.getState();
    return before && after && [before, after];
  };
  const describerOf = (sound: HeardSound): SoundDescriber => {
    const known = describers.get(sound) ?? new SoundDescriber([sound.left, sound.right], sound.rate);
    describers.set(sound, known);
    return known;
  };
  /** One of the two of which something is still to be measured: loudness first, as one hears by it. */
  const missing = (): HeardSound | undefined =>
    pair()?.find((sound) => !describerOf(sound).loudness) ?? pair()?.find((sound) => !figures.has(sound));

  const show = (): void => {
    const sounds = pair();
    if (!sounds) return;
    const [before, after] = sounds;
    const [first, second] = [describerOf(before).loudness, describerOf(after).loudness];
    if (first && second && !store.getState().match) setState({ match: matchLoudness(first.lufs, second.lufs) });
    const [b, a] = [figures.get(before), figures.get(after)];
    if (!b || !a || store.getState().what) return;
    const side = ({ left, right }: HeardSound) => [left, right];
    setState({ what: whatChanged({ channels: side(before), figures: b }, { channels: side(after), figures: a }) });
  };

  const work = (): void => {
    running = false;
    if (wanted === 0) return;
    const until = performance.now() + SLICE_MS;
    for (let sound = missing(); sound && performance.now() < until; sound = missing()) {
      const found = describerOf(sound).advance();
      if (found) figures.set(sound, found);
    }
    show();
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
    show();
    begin();
  });

  return Object.assign(store, {
    want() {
      wanted++;
      show();
      begin();
      let on = true;
      return () => {
        if (on) wanted--;
        on = false;
      };
    },
  });
}
