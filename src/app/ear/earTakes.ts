/** Takes of one point of the patch, in a worker of their own: the patch's own takes stay what they are. */

import { risen } from '../../engine/hosts/playRun.ts';
import type { RecordedSound } from '../../engine/hosts/recordings.ts';
import type { Takes, TakesListener } from '../../engine/hosts/takes.ts';
import { type Announcement, announce, pointContent } from '../../insight/heardPoint.ts';
import { createHighPass } from '../../measure/highPass.ts';
import type { Catalogue, SignalKind } from '../../patch/blockSpec.ts';
import { type Patch, type Place, samePlace } from '../../patch/document.ts';
import { earPatch } from '../../patch/ear.ts';

/** What is heard at the point over the take, full scale 1. */
export interface PointTake {
  readonly left: Float32Array;
  readonly right: Float32Array;
  readonly rate: number;
  readonly announcement: Announcement;
}

export interface PointRequest {
  readonly patch: Patch;
  readonly at: Place;
  readonly kind: SignalKind;
  readonly seconds: number;
  readonly rate: number;
  readonly quality: 1 | 2 | 4 | 8;
}

export interface EarTakes {
  /** The newest request wins. `done` is told of it once; of a refused one not at all. */
  render(request: PointRequest, sounds: ReadonlyMap<string, RecordedSound>, done: (take: PointTake) => void): void;
  cancel(): void;
}

type OpenTakes = (listener: TakesListener) => Pick<Takes, 'render' | 'cancel'>;

/** What there is to hear is judged by the beginning of a long take. */
const LOOK_SECONDS = 30;
/** Five time constants of the dc block (5 Hz), and the fade after them. */
const SETTLE_SECONDS = 0.16;
const FADE_SECONDS = 0.02;
/** Below the lower limit of hearing. */
const LEAST_HZ = 10;

export function createEarTakes(catalogue: Catalogue, openTakes: OpenTakes): EarTakes {
  let takes: ReturnType<OpenTakes> | undefined;
  let waiting: { readonly request: PointRequest; readonly done: (take: PointTake) => void } | undefined;
  const listener: TakesListener = {
    progress: () => undefined,
    refused() {
      waiting = undefined;
    },
    window: () => undefined,
    done(take, window) {
      if (!waiting) return;
      const { request, done } = waiting;
      waiting = undefined;
      const volts = window?.taps.find((tap) => samePlace(tap.at, request.at))?.samples;
      const announcement = announce(request.kind, volts && pointContent(volts, take.rate));
      const [left, right] = announcement.sounds ? [take.left, take.right] : [settled(take.left, take.rate), settled(take.right, take.rate)];
      done({ left, right, rate: take.rate, announcement });
    },
  };
  return {
    render(request, sounds, done) {
      waiting = { request, done };
      takes ??= openTakes(listener);
      const { patch, at, seconds, rate, quality } = request;
      takes.render(
        {
          patch: earPatch(patch, catalogue, at),
          seconds,
          rate,
          quality,
          taps: [{ at }],
          window: { from: 0, frames: Math.round(Math.min(seconds, LOOK_SECONDS) * rate) },
          once: true,
        },
        sounds,
      );
    },
    cancel() {
      waiting = undefined;
      takes?.cancel();
    },
  };
}

/**
 * Only what is heard of it. The beginning is left out: a voltage that stands high from the first frame on gives one thump, until the dc
 * block has settled on it. And slow slopes, of which a dc block lets a little direct voltage through, are filtered away once more.
 */
export function settled(samples: Float32Array, rate: number): Float32Array {
  const begin = Math.round(SETTLE_SECONDS * rate);
  const fade = Math.round(FADE_SECONDS * rate);
  const pass = createHighPass(LEAST_HZ, Math.SQRT1_2, rate);
  return samples.map((x, n) => pass(n < begin ? 0 : x * risen((n - begin) / fade)));
}
