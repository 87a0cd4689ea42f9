import { autocorrelation, chiSquare, histogram, momentsOf, uniformDistance } from '../../../src/measure/statistics.ts';
import type { BlockSpec } from '../../../src/patch/blockSpec.ts';
import { clockSignal } from '../../support/edges.ts';
import { type KernelRun, runKernel } from '../../support/runKernel.ts';
import { type Check, ofBlock, once, type Row, type Topic } from '../check.ts';
import statistics from '../data/random_stats.json' with { type: 'json' };
import { works } from '../sources.ts';

const DRAWS = 10000;
const INTERVAL = 8;
const uniform = statistics['uniform_-1_1'];

function limitsFor(count: number) {
  const found = statistics.limits.find(({ n, alpha }) => n === count && alpha === 1e-6);
  if (!found) throw new Error(`random_stats.json has no limits for ${count} draws.`);
  return found;
}

/** Draws in -1..1 against everything that is known of uniform, independent ones. */
function uniformCheck(block: string, title: string, draws: () => Promise<ArrayLike<number>>): Check {
  const limits = limitsFor(DRAWS);
  const [low = 0, high = 0] = limits.chi2_16_bins;
  const lags = [1, 2, 3, 7, 64, 128, 1000];
  const rows: readonly Row[] = [
    { name: 'mean', published: uniform.mean, within: limits.uniform_mean_abs_max },
    { name: 'variance', published: uniform.variance, within: limits.uniform_variance_abs_dev_max },
    { name: 'K-S distance', published: 0, within: limits.ks_statistic_max },
    // 15 degrees of freedom: the mean of chi-square is 15
    { name: 'chi-square, 16 bins', published: 15, within: [15 - low, high - 15] },
    ...lags.map((lag) => ({ name: `autocorrelation ${lag}`, published: 0, within: limits.lag_autocorrelation_abs_max })),
  ];
  return {
    block,
    title,
    source: works.uniform,
    unit: '',
    rows,
    measure: async () => {
      const unit = await draws();
      const { mean, variance } = momentsOf(unit);
      const distance = uniformDistance(unit, -1, 1);
      return [mean, variance, distance, chiSquare(histogram(unit, -1, 1, 16)), ...lags.map((lag) => autocorrelation(unit, lag))];
    },
  };
}

/** One value of a clocked output per clock, 5 V = 1. */
export function clockedDraws(spec: BlockSpec, input: string, output: string, settings: NonNullable<KernelRun['settings']> = {}) {
  return once(async () => {
    // A stream of its own for each block.
    const run = { id: spec.type, frames: DRAWS * INTERVAL, settings, inputs: { [input]: clockSignal(INTERVAL) }, outputs: [output] };
    const volts = (await runKernel(spec, run))[output] as Float32Array;
    return Float32Array.from({ length: DRAWS }, (_, k) => (volts[k * INTERVAL + 1] as number) / 5);
  });
}

const white = ofBlock('noise', (spec) => [
  uniformCheck(spec.type, 'white is uniform between -5 and 5 V and without memory', async () => {
    const out = await runKernel(spec, { id: spec.type, frames: DRAWS, outputs: ['white'] });
    return (out.white as Float32Array).map((volts) => volts / 5);
  }),
]);

/** Blocks that draw at each clock: their clock input, their output. */
const drawing = (
  [
    ['sampleHold', 'trigger', 'out', 'without a cable at its input it holds white noise'],
    ['shiftRegister', 'clock', 'out1', 'without a cable at its input it takes in white noise'],
    ['random', 'clock', 'stepped', 'draws uniformly and without memory'],
  ] as const
).flatMap(([type, input, output, title]) => ofBlock(type, (spec) => [uniformCheck(type, title, clockedDraws(spec, input, output))]));

const smooth = ofBlock('random', (spec): readonly Check[] => {
  const clocks = 10000;
  const interval = 24;
  return [
    {
      block: spec.type,
      title: 'smooth has three quarters of the variance of the draws',
      source: works.raisedCosine,
      unit: '',
      rows: [
        {
          name: 'variance ratio',
          published: statistics.smooth_random_variance_ratio.raised_cosine,
          // standard error of the ratio: products of neighbours, weight 1/4 on average; five of them
          within: (5 * 0.25) / Math.sqrt(clocks),
        },
      ],
      measure: async () => {
        const run = { sampleRate: 200 * interval, frames: clocks * interval, settings: { rate: 200, spread: 5 } };
        const out = await runKernel(spec, { ...run, outputs: ['stepped', 'smooth'] });
        return [momentsOf(out.smooth as Float32Array).variance / momentsOf(out.stepped as Float32Array).variance];
      },
    },
  ];
});

const gates = ofBlock('chance', (spec): readonly Check[] => {
  const chances = [0.1, 0.25, 0.5, 0.85];
  return [
    {
      block: spec.type,
      title: 'sends the set share of the gates to A',
      source: works.binomial,
      unit: '',
      rows: chances.map((p) => ({ name: `chance ${p}`, published: p, within: 5 * Math.sqrt((p * (1 - p)) / DRAWS) })),
      measure: async () => {
        const found: number[] = [];
        for (const chance of chances) {
          const run = { frames: DRAWS * INTERVAL, settings: { chance }, inputs: { in: clockSignal(INTERVAL) }, outputs: ['a'] };
          const a = (await runKernel(spec, run)).a as Float32Array;
          let passed = 0;
          for (let k = 0; k < DRAWS; k++) if ((a[k * INTERVAL + 1] as number) > 1.5) passed++;
          found.push(passed / DRAWS);
        }
        return found;
      },
    },
  ];
});

export const chance: Topic = {
  id: 'chance',
  title: 'Randomness',
  say: `${DRAWS} draws each, from the patch's seed: the same on every machine. Limits that a good generator misses once in a million runs.`,
  glance: (measured) => `${measured.flat().length} statistics of ${DRAWS} draws each`,
  checks: [...white, ...drawing, ...smooth, ...gates],
};
