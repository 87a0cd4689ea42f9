/**
 * Volts of the clipped probes on their way to the scopes. Whoever plays or renders publishes; scopes subscribe and
 * draw when the screen is due. No volt passes through React.
 */
import { type Place, placeName } from '../../patch/document.ts';
import type { TakeStep } from './takeSteps.ts';

/** A stretch of one output: every frame. */
export interface Stretch {
  /** Frame of the first sample, counted from the start of the sound or the take. */
  readonly at: number;
  /** Borrowed: copy what you keep. */
  readonly samples: Float32Array;
  readonly rate: number;
  /** Takes: how it follows on the one before; left out: as the next edit. */
  readonly step?: TakeStep;
}

export interface ProbeListener {
  /** Live sound: stretches follow each other; a jump in `at` starts anew. */
  live(stretch: Stretch): void;
  /** A finished take: the whole signal, yours to keep. */
  take(stretch: Stretch): void;
}

export interface ProbeHub {
  subscribe(place: Place, listener: ProbeListener): () => void;
  publish(place: Place, kind: keyof ProbeListener, stretch: Stretch): void;
}

export function createProbeHub(): ProbeHub {
  const listeners = new Map<string, Set<ProbeListener>>();
  const takes = new Map<string, Stretch>();
  return {
    subscribe(place, listener) {
      const name = placeName(place);
      const heard = listeners.get(name) ?? new Set();
      heard.add(listener);
      listeners.set(name, heard);
      const take = takes.get(name);
      if (take) listener.take(take);
      return () => {
        heard.delete(listener);
        if (heard.size === 0) listeners.delete(name);
      };
    },
    publish(place, kind, stretch) {
      const name = placeName(place);
      if (kind === 'take') takes.set(name, stretch);
      for (const listener of listeners.get(name) ?? []) listener[kind](stretch);
    },
  };
}
