/** The two sounds that the take player plays: the takes of the patch, or of the point that an ear is on. */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Ear } from '../ear/ear.ts';
import type { Listening } from '../listen/listening.ts';

/** Full scale 1. The same object as long as it is the same sound. */
export interface HeardSound {
  readonly left: Float32Array;
  readonly right: Float32Array;
  readonly rate: number;
}

export interface HeardState {
  readonly after: HeardSound | undefined;
  readonly before: HeardSound | undefined;
}

export type HeardSounds = StoreApi<HeardState>;

export function secondsOf({ left, rate }: HeardSound): number {
  return left.length / rate;
}

export function createHeardSounds(listening: Listening, ear: Ear): HeardSounds {
  const now = (): HeardState => {
    if (ear.getState().at) {
      const { after, before } = ear.getState();
      return { after, before };
    }
    const { take, before } = listening.getState();
    return { after: take, before };
  };
  const store = createStore<HeardState>()(now);
  const follow = (): void => {
    const next = now();
    const { after, before } = store.getState();
    if (next.after !== after || next.before !== before) store.setState(next);
  };
  listening.subscribe(follow);
  ear.subscribe(follow);
  return store;
}
