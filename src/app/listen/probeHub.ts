/**
 * Volts of the clipped probes on their way to the scopes. Whoever plays or renders publishes; scopes subscribe and
 * draw when the screen is due. No volt passes through React.
 */
import { type Place, placeName } from '../../patch/document.ts';
import type { TakeStep } from './takeSteps.ts';

/** A stretch of one output while it sounds live: every frame. */
export interface Stretch {
  /** Frame of the first sample, counted from the start of the sound. */
  readonly at: number;
  /** Borrowed: copy what you keep. */
  readonly samples: Float32Array;
  readonly rate: number;
}

/** Least and greatest volts of each stretch of `frames` frames, over a whole take. */
export interface Peaks {
  readonly least: Float32Array;
  readonly greatest: Float32Array;
  readonly frames: number;
}

/** Every frame of a stretch of a take, from frame `from` on. */
export interface TakeStretch {
  readonly from: number;
  readonly samples: Float32Array;
}

/** One output of a finished take. */
export interface ProbeTake {
  readonly rate: number;
  /** Length of the take in frames. */
  readonly frames: number;
  readonly peaks: Peaks;
  /** What was looked at when the take was asked for. */
  readonly window: TakeStretch | undefined;
  /** How it follows on the take before it. */
  readonly step: TakeStep;
}

/** Which take: the newest, or the one before the last edit. */
export type WhichTake = 'now' | 'before';

export interface ProbeListener {
  /** Live sound: stretches follow each other; a jump in `at` starts anew. */
  live(stretch: Stretch): void;
  /** A finished take. */
  take(take: ProbeTake): void;
  /** A stretch of a take was rendered again, because one looks at it. */
  window(which: WhichTake, stretch: TakeStretch): void;
}

export interface ProbeHub {
  subscribe(place: Place, listener: ProbeListener): () => void;
  live(place: Place, stretch: Stretch): void;
  /** All outputs of a finished take. */
  take(outputs: readonly { readonly at: Place; readonly take: ProbeTake }[]): void;
  window(place: Place, which: WhichTake, stretch: TakeStretch): void;
}

export function createProbeHub(): ProbeHub {
  const listeners = new Map<string, Set<ProbeListener>>();
  /** What who comes later is told: of the newest take, and of the one before the last edit. */
  let takes = new Map<string, ProbeTake>();
  let before = new Map<string, ProbeTake>();
  const of = (place: Place): Iterable<ProbeListener> => listeners.get(placeName(place)) ?? [];
  return {
    subscribe(place, listener) {
      const name = placeName(place);
      const heard = listeners.get(name) ?? new Set();
      heard.add(listener);
      listeners.set(name, heard);
      const [take, last] = [takes.get(name), before.get(name)];
      if (take && last) listener.take({ ...last, step: 'fresh' });
      if (take) listener.take({ ...take, step: last ? 'next' : 'fresh' });
      return () => {
        heard.delete(listener);
        if (heard.size === 0) listeners.delete(name);
      };
    },
    live(place, stretch) {
      for (const listener of of(place)) listener.live(stretch);
    },
    take(outputs) {
      const step = outputs[0]?.take.step;
      if (step !== 'same') before = step === 'next' ? takes : new Map();
      takes = new Map(outputs.map(({ at, take }) => [placeName(at), take]));
      for (const { at, take } of outputs) for (const listener of of(at)) listener.take(take);
    },
    window(place, which, stretch) {
      const kept = which === 'now' ? takes : before;
      const take = kept.get(placeName(place));
      if (take) kept.set(placeName(place), { ...take, window: stretch });
      for (const listener of of(place)) listener.window(which, stretch);
    },
  };
}
