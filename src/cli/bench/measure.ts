/** The measurements of `bench`: medians of interleaved runs, so that a busy moment of the machine hits all alike. */
import { performance } from 'node:perf_hooks';
import { TakeRenderer } from '../../engine/hosts/take.ts';
import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import type { Contender } from './contender.ts';
import { closedVoice, loopedVoice, manyVoices, openVoice } from './patches.ts';

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const [low = Number.NaN, high = Number.NaN] =
    sorted.length % 2 === 1 ? [sorted[middle], sorted[middle]] : sorted.slice(middle - 1, middle + 1);
  return (low + high) / 2;
}

/** Seconds of computing for one second of the patch's sound; compiling the plan is not counted. */
export function timeTake(
  module: WebAssembly.Module,
  specs: readonly BlockSpec[],
  patch: Patch,
  seconds: number,
  quality: 1 | 2 | 4 | 8 = 1,
): number {
  const renderer = new TakeRenderer(module, specs, patch, { seconds, rate: 48000, quality });
  const from = performance.now();
  renderer.advance(Number.POSITIVE_INFINITY);
  return (performance.now() - from) / 1000 / seconds;
}

export function ourEngine(module: WebAssembly.Module, specs: readonly BlockSpec[], voice: Patch, seconds: number): Contender {
  return {
    id: 'engine',
    title: 'Signal Sketchbook',
    run: async () => timeTake(module, specs, voice, seconds),
    close: async () => {},
  };
}

export interface Standing {
  readonly id: string;
  readonly title: string;
  /** Seconds of sound per second of computing, the median of the runs. */
  readonly realtime: number;
  readonly runs: readonly number[];
  /** How many times as fast the engine is. */
  readonly engineRatio: number;
}

/** Runs all contenders in turn, `repeats` times over; one round before that is not counted, so that each has compiled what it compiles. */
export async function compare(contenders: readonly Contender[], repeats: number, progress: (round: number) => void): Promise<Standing[]> {
  for (const contender of contenders) await contender.run();
  const costs = contenders.map((): number[] => []);
  for (let round = 0; round < repeats; round++) {
    progress(round);
    for (const [i, contender] of contenders.entries()) costs[i]?.push(await contender.run());
  }
  const medians = costs.map(median);
  const engine = medians[contenders.findIndex(({ id }) => id === 'engine')] ?? Number.NaN;
  return contenders.map(({ id, title }, i) => ({
    id,
    title,
    realtime: 1 / (medians[i] ?? Number.NaN),
    runs: (costs[i] ?? []).map((cost) => 1 / cost),
    engineRatio: (medians[i] ?? Number.NaN) / engine,
  }));
}

export interface Growth {
  readonly blocks: number;
  readonly realtime: number;
  /** Nanoseconds of computing per block and frame at 48 kHz. */
  readonly nanosecondsPerBlock: number;
}

/** Cost per block from a small patch to a large one; it should stay level. */
export function measureGrowth(
  module: WebAssembly.Module,
  specs: readonly BlockSpec[],
  voice: Patch,
  sizes: readonly number[],
  repeats: number,
): Growth[] {
  const patches = sizes.map((size) => manyVoices(voice, size));
  const costs = patches.map((): number[] => []);
  for (let round = 0; round < repeats; round++) {
    for (const [i, patch] of patches.entries()) {
      const seconds = Math.max(0.5, 100 / patch.blocks.length);
      costs[i]?.push(timeTake(module, specs, patch, seconds));
    }
  }
  return patches.map((patch, i) => {
    const cost = median(costs[i] ?? []);
    const blocks = patch.blocks.length;
    return { blocks, realtime: 1 / cost, nanosecondsPerBlock: (cost / 48000 / blocks) * 1e9 };
  });
}

export interface LoopCost {
  readonly title: string;
  readonly openRealtime: number;
  readonly loopedRealtime: number;
  /** Computing with the loop over computing without it. */
  readonly ratio: number;
}

/** What loops cost, whose blocks run frame by frame: one through four of the voice's blocks, and one through the whole voice. */
export function measureLoops(
  module: WebAssembly.Module,
  specs: readonly BlockSpec[],
  voice: Patch,
  seconds: number,
  repeats: number,
): LoopCost[] {
  const pairs = [
    { title: 'through four of the blocks', without: openVoice(voice), with: loopedVoice(voice) },
    { title: 'through the whole voice', without: voice, with: closedVoice(voice) },
  ].map((pair) => ({ ...pair, open: [] as number[], looped: [] as number[] }));
  for (let round = 0; round < repeats; round++) {
    for (const pair of pairs) {
      pair.open.push(timeTake(module, specs, pair.without, seconds));
      pair.looped.push(timeTake(module, specs, pair.with, seconds));
    }
  }
  return pairs.map(({ title, open, looped }) => ({
    title,
    openRealtime: 1 / median(open),
    loopedRealtime: 1 / median(looped),
    ratio: median(looped) / median(open),
  }));
}
