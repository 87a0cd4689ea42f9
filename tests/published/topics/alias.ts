import { ALIAS_FRAMES, aliasBench, coherentSine, readAlias, SETTLE } from '../../support/aliasBench.ts';
import { publishedWords } from '../../support/publishedTable.ts';
import { type KernelRun, runKernel } from '../../support/runKernel.ts';
import { atLeast, atMost, type Check, type Figure, ofBlock, once, type Point, type Topic } from '../check.ts';
import { works } from '../sources.ts';

/** alias_oscillators.csv at 48 kHz. */
const [columns = [], ...words] = publishedWords('alias_oscillators');
const column = (id: string): number => columns.indexOf(id);
const computed = words
  .filter((row) => row[column('fs')] === '48000')
  .map((row) => ({
    hz: Number(row[column('f0_hz')]),
    cycles: Number(row[column('k')]),
    shape: row[column('shape')] ?? '',
    width: Number(row[column('duty')]),
    method: row[column('method')] ?? '',
    worst: Number(row[column('worst_16k_db')]),
  }));

const methods: Readonly<Record<string, string>> = {
  naive: 'plain',
  naive_os8: '8 x oversampled',
  polyblep4: 'cubic B-spline',
};
const shapes = [
  ['saw', 'saw', 'saw'],
  ['square', 'pulse', 'square'],
  ['pulse', 'pulse', 'pulse, 10 % high'],
] as const;

/** Strongest alias line of each fundamental of the table, at quality 1 and below 16 kHz. */
const fundamentals = ofBlock('oscillator', (spec): readonly Check[] =>
  shapes.map(([shape, output, name]) => {
    const mine = computed.filter((row) => row.shape === shape);
    const goal = mine.filter((row) => row.method === 'polyblep4');
    const bench = aliasBench(1);
    const readings = once(async () => {
      const found: number[] = [];
      for (const { cycles, width } of goal) {
        const run = { frames: SETTLE + ALIAS_FRAMES, settings: { tune: bench.hz(cycles), width }, outputs: [output] };
        found.push(readAlias((await runKernel(spec, run))[output] as Float32Array, cycles, bench).worst);
      }
      return found;
    });
    const others = Object.entries(methods).map(([method, series]) => ({
      series,
      points: mine.filter((row) => row.method === method).map(({ hz, worst }): Point => ({ x: hz, y: worst })),
    }));
    const figure: Figure = {
      title: `Strongest alias by fundamental: ${name}`,
      say:
        'Below 16 kHz, relative to the strongest harmonic, 48 kHz, quality 1. Grey: published methods, computed by the same metric; ' +
        'the bound lies 10 dB below the best of them.',
      x: { title: 'fundamental, Hz', log: true, from: 100, to: 8000 },
      y: { title: 'dB', from: -160, to: 0 },
      others: others.filter(({ points }) => points.length > 0),
      small: true,
    };
    return {
      block: spec.type,
      title: `the alias of the ${name} lies at least 10 dB below that of the best published correction`,
      source: works.bspline,
      unit: 'dB',
      rows: goal.map(({ hz, worst }) => ({ name: `${hz.toFixed(1)} Hz`, x: hz, published: worst - 10, within: atMost })),
      measure: readings,
      curve: { figure, series: 'this oscillator' },
    };
  }),
);

/** Power of the harmonics over that of all alias of a sine of 1244.51 Hz (whose alias falls beside its harmonics), by quality. */
const shaped = (type: string, output: string, what: string, settings: NonNullable<KernelRun['settings']>): readonly Check[] =>
  ofBlock(type, (spec): readonly Check[] => [
    {
      block: type,
      title: `${what}: signal to alias of a sine of 1244.51 Hz and 5 V`,
      source: works.ownMark,
      unit: 'dB',
      rows: [
        { name: 'quality 1', published: 60, within: atLeast },
        { name: 'quality 4', published: 90, within: atLeast },
      ],
      measure: async () => {
        const found: number[] = [];
        for (const quality of [1, 4] as const) {
          const bench = aliasBench(quality);
          const cycles = bench.cycles(1244.51);
          const run = { quality, frames: SETTLE + ALIAS_FRAMES, settings, inputs: { in: coherentSine(cycles, 5) }, outputs: [output] };
          found.push(readAlias((await runKernel(spec, run))[output] as Float32Array, cycles, bench, 20000).ratio);
        }
        return found;
      },
    },
  ]);

export const alias: Topic = {
  id: 'alias',
  title: 'Alias',
  say:
    'Read coherently: an odd number of cycles in 65536 frames, so that every true line falls on its own bin and all alias beside it. ' +
    'What is not a true line counts as alias, noise and rounding included.',
  glance: (measured) =>
    `steady waves: alias at most ${Math.max(...measured.slice(0, fundamentals.length).flat()).toFixed(0)} dB at quality 1`,
  checks: [
    ...fundamentals,
    ...shaped('wavefolder', 'out', 'full fold', { fold: 1 }),
    ...shaped('saturator', 'out', '20 dB of drive', { drive: 20 }),
    ...shaped('rectifier', 'full', 'full-wave rectified', {}),
  ],
};
