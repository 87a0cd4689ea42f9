/** What folds back at the sample rate, measured: what is there at the quality of the take and not at quality 4. */
import { createAnalyser } from '../../measure/spectrum.ts';
import type { Place } from '../../patch/document.ts';
import { placeName } from '../../patch/document.ts';
import { type KnownBlock, sourceOf } from '../wired.ts';
import type { HeardPatch } from './heardPatch.ts';
import { blocksOf, isUsed } from './look.ts';

/** So many seconds from the beginning are rendered twice. */
const SECONDS = 2;
/** Quality to compare with. */
const FINE = 4;
/** So many outputs are compared. */
const MOST_PLACES = 12;
const SIZE = 8192;
/** The decimator passes up to here unchanged. */
const TOP_HERTZ = 20000;
/** A bin counts from so many times the power on that it has at the higher quality. */
const EXCESS = 4;

export interface Foldback {
  readonly known: KnownBlock;
  readonly place: Place;
  /** Power that is there at the lower quality alone, relative to all, in dB. */
  readonly decibels: number;
}

/** Outputs that make overtones, loudest foldback first; those that only hand on what another one has folded are left out. */
export function foldbacks(take: HeardPatch, leastDecibels: number): Foldback[] {
  const places = blocksOf(take.wired)
    .filter(({ spec }) => spec.overtones)
    .flatMap((known) =>
      known.spec.outputs.flatMap((output) =>
        isUsed(take.wired, known, [output.id]) ? [{ known, place: [known.block.id, output.id] as Place }] : [],
      ),
    )
    .slice(0, MOST_PLACES);
  if (take.quality >= FINE || places.length === 0 || take.seconds < SIZE / take.heard.rate) return [];
  const seconds = Math.min(SECONDS, take.seconds);
  const [coarse, fine] = ([take.quality, FINE] as const).map(
    (quality) =>
      take.again(
        places.map(({ place }) => place),
        seconds,
        quality,
      ).samples,
  );
  const analyse = createAnalyser(SIZE, 'blackmanHarris');
  const all = places.flatMap(({ known, place }): Foldback[] => {
    const [a, b] = [coarse?.get(placeName(place)), fine?.get(placeName(place))];
    if (!a || !b) return [];
    const powers = [a, b].map((samples) => meanPower(samples, analyse));
    const decibels = excessOf(powers[0] as Float64Array, powers[1] as Float64Array, take.heard.rate);
    return decibels > leastDecibels ? [{ known, place, decibels }] : [];
  });
  const folded = new Set(all.map(({ known }) => known.block.id));
  return all
    .filter(({ known }) => !known.spec.inputs.some((input) => folded.has(sourceOf(take.wired, known.block.id, input.id)?.[0] ?? '')))
    .sort((a, b) => b.decibels - a.decibels);
}

function meanPower(samples: Float32Array, analyser: ReturnType<typeof createAnalyser>): Float64Array {
  const power = new Float64Array(SIZE / 2 + 1);
  for (let from = 0; from + SIZE <= samples.length; from += SIZE) {
    const amplitudes = analyser.amplitudes(samples, from);
    for (let bin = 0; bin < power.length; bin++) power[bin] = (power[bin] as number) + (amplitudes[bin] as number) ** 2;
  }
  return power;
}

function excessOf(coarse: Float64Array, fine: Float64Array, rate: number): number {
  const top = Math.floor((Math.min(TOP_HERTZ, 0.42 * rate) * SIZE) / rate);
  let whole = 0;
  let excess = 0;
  for (let bin = 4; bin < top; bin++) {
    // a line that moved by a hair is the same line
    const there = Math.max(fine[bin - 1] as number, fine[bin] as number, fine[bin + 1] as number);
    const power = coarse[bin] as number;
    whole += power;
    if (power > EXCESS * there) excess += power - there;
  }
  return whole > 0 ? 10 * Math.log10(excess / whole) : Number.NEGATIVE_INFINITY;
}
