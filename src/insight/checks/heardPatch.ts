/** A patch together with one take of it, and what several rules measure of that: each thing once, when it is first asked for. */
import { FULL_SCALE_VOLTS, fromDb } from '../../measure/levels.ts';
import { integratedLoudness } from '../../measure/loudness.ts';
import type { Patch, Place } from '../../patch/document.ts';
import { placeName } from '../../patch/document.ts';
import { type Heard, type Hearing, type HearOptions, inputFigures } from '../heard.ts';
import type { Figures } from '../tally.ts';
import { type KnownBlock, sourceOf, type Wired, wirePatch } from '../wired.ts';
import { numberOf, outletsOf } from './look.ts';

/** Frames of outputs that are kept at most: 100 MB. */
const MOST_KEPT = 25e6;

export interface HeardPatch {
  readonly wired: Wired;
  readonly heard: Heard;
  readonly seconds: number;
  /** Oversampling of the engine in this take. */
  readonly quality: 1 | 2 | 4 | 8;
  readonly outlets: readonly KnownBlock[];
  /** What is put out, full scale 1: left and right, or one of them where they are the same. */
  readonly sides: readonly Float32Array[];
  figures(place: Place): Figures | undefined;
  /** Every frame in volts; undefined where it was not wanted or there was no room for it. */
  samples(place: Place): Float32Array | undefined;
  /** Integrated, in LUFS; undefined for less than 0.4 s, -Infinity for silence. */
  loudness(): number | undefined;
  /** What the outputs carry before dc block and ceiling, full scale 1; undefined where the frames are not there. */
  beforeCeiling(): readonly Float32Array[] | undefined;
  /** Means of the same, in volts. */
  directVolts(): { readonly left: number; readonly right: number };
  /** The first seconds of some outputs at a quality of the engine. */
  again(places: readonly Place[], seconds: number, quality: 1 | 2 | 4 | 8): Heard;
}

export function hearPatch(hearing: Hearing, patch: Patch, options: HearOptions, wants: (wired: Wired) => readonly Place[]): HeardPatch {
  const wired = wirePatch(patch, hearing.catalogue);
  const outlets = outletsOf(wired);
  const sources = outlets
    .flatMap(({ block, spec }) => spec.inputs.map(({ id }) => sourceOf(wired, block.id, id)))
    .filter((place) => place !== undefined);
  const seconds = options.seconds ?? patch.seconds;
  const rate = options.rate ?? 48000;
  const room = Math.floor(MOST_KEPT / (rate * (seconds ?? 12)));
  const wanted = new Map([...sources, ...wants(wired)].map((place) => [placeName(place), place]));
  const heard = hearing.hear(patch, { ...options, samples: [...wanted.values()].slice(0, room) });
  return aboutHeard(hearing, wired, heard, outlets, options.quality ?? 1);
}

function aboutHeard(
  hearing: Hearing,
  wired: Wired,
  heard: Heard,
  outlets: readonly KnownBlock[],
  quality: HeardPatch['quality'],
): HeardPatch {
  const gains = outlets.map((known) => fromDb(numberOf(known, known.spec.bus?.level ?? '')));
  const isMono = heard.left.every((x, i) => x === heard.right[i]);
  let loudness: { readonly lufs: number | undefined } | undefined;
  let before: { readonly channels: readonly Float32Array[] | undefined } | undefined;

  /** The output that a side of an outlet reads; the first input is the left one. */
  const sourceOfSide = ({ block, spec }: KnownBlock, side: number): Place | undefined => {
    const input = spec.inputs[side] ?? spec.inputs[0];
    const normal = input?.normalFrom;
    return (input && sourceOf(wired, block.id, input.id)) ?? (normal === undefined ? undefined : sourceOf(wired, block.id, normal));
  };

  const sum = (side: number): Float32Array | undefined => {
    const total = new Float32Array(heard.frames);
    for (const [i, outlet] of outlets.entries()) {
      const source = sourceOfSide(outlet, side);
      if (!source) continue;
      const volts = heard.samples.get(placeName(source));
      if (!volts) return undefined;
      const gain = (gains[i] as number) / FULL_SCALE_VOLTS;
      for (let n = 0; n < total.length; n++) total[n] = (total[n] as number) + gain * (volts[n] as number);
    }
    return total;
  };

  return {
    wired,
    heard,
    seconds: heard.frames / heard.rate,
    quality,
    outlets,
    sides: isMono ? [heard.left] : [heard.left, heard.right],
    figures: (place) => heard.outputs.get(placeName(place)),
    samples: (place) => heard.samples.get(placeName(place)),
    loudness() {
      loudness ??= { lufs: integratedLoudness([heard.left, heard.right], heard.rate) };
      return loudness.lufs;
    },
    beforeCeiling() {
      if (!before) {
        const channels = (isMono ? [0] : [0, 1]).map(sum);
        before = { channels: channels.every((channel) => channel !== undefined) ? channels : undefined };
      }
      return before.channels;
    },
    directVolts() {
      const [left = 0, right = 0] = [0, 1].map((side) =>
        outlets.reduce((total, { block, spec }, i) => {
          const input = spec.inputs[side] ?? spec.inputs[0];
          return total + (gains[i] as number) * ((input && inputFigures(heard, wired, block.id, input.id)?.mean) ?? 0);
        }, 0),
      );
      return { left, right };
    },
    again: (places, seconds, other) =>
      hearing.hear(wired.patch, { seconds, rate: heard.rate, quality: other, samples: places, samplesOnly: true }),
  };
}
