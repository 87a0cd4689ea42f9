import type { BlockSpec } from '../../../src/patch/blockSpec.ts';
import { publishedTable } from '../../support/publishedTable.ts';
import { type KernelRun, runKernel } from '../../support/runKernel.ts';
import { type Check, type Figure, ofBlock, type Row, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const decibels = (gain: number): number => 20 * Math.log10(gain);

/** Volts at the end of a short run with everything at rest. */
async function rest(spec: BlockSpec, run: Omit<KernelRun, 'frames'>, output: string): Promise<number> {
  return (await runKernel(spec, { ...run, frames: 8, outputs: [output] }))[output]?.[7] ?? Number.NaN;
}

interface Law {
  readonly title: string;
  readonly source: string;
  readonly unit: string;
  readonly figure: Figure;
  readonly series: string;
  readonly rows: readonly Row[];
  readonly at: (x: number) => Promise<number>;
}

const lawCheck = (block: string, { title, source, unit, figure, series, rows, at }: Law): Check => {
  const [from, to] = [Math.min(...rows.map(({ x = 0 }) => x)), Math.max(...rows.map(({ x = 0 }) => x))];
  return {
    block,
    title,
    source,
    unit,
    rows,
    measure: () => Promise.all(rows.map(({ x = 0 }) => at(x))),
    curve: {
      figure,
      series,
      trace: async () => {
        const places = Array.from({ length: 21 }, (_, i) => from + ((to - from) * i) / 20);
        return Promise.all(places.map(async (x) => ({ x, y: await at(x) })));
      },
    },
  };
};

/** The table has its full scale at 5 V, the block at 8 V: voltages are scaled. Its 12 dB/V are 60 dB over the scale. */
const amplifier = ofBlock('vca', (spec) => {
  const rows = publishedTable('vca_laws');
  const cv = { title: 'control voltage, V', from: 0, to: 8 };
  const gain = (response: string) => async (volts: number) =>
    (await rest(spec, { settings: { response }, inputs: { in: 4, cv: volts } }, 'out')) / 4;
  return [
    lawCheck(spec.type, {
      title: 'linear: the gain is the share of 8 V',
      source: works.linearGain,
      unit: '',
      figure: { title: 'Amplifier: linear response', x: cv, y: { title: 'gain', from: 0, to: 1 } },
      series: 'linear',
      rows: rows
        .filter(({ cv_v = 0, linear_gain = 0 }) => cv_v >= 0 && linear_gain <= 1)
        .map(({ cv_v = 0, linear_gain = 0 }) => ({ name: `${cv_v} of 5 V`, x: (cv_v * 8) / 5, published: linear_gain, within: 1e-6 })),
      at: gain('linear'),
    }),
    lawCheck(spec.type, {
      title: 'exponential: 60 dB over 8 V',
      source: works.decibelsPerVolt,
      unit: 'dB',
      figure: { title: 'Amplifier: exponential response', x: cv, y: { title: 'dB', from: -60, to: 0 } },
      series: 'exponential',
      rows: rows
        .filter(({ cv_v = 0 }) => cv_v > 0.1 && cv_v <= 5)
        .map((row) => ({
          name: `${row.cv_v} of 5 V`,
          x: ((row.cv_v as number) * 8) / 5,
          published: row.exp_12dB_per_V_db as number,
          within: 1e-3,
        })),
      at: async (volts) => decibels(await gain('exponential')(volts)),
    }),
  ];
});

const sharing = publishedTable('crossfade_laws');
const place = { title: 'position', from: 0, to: 1 };
const share = { title: 'gain', from: 0, to: 1 };
const rowsOf = (column: string): Row[] =>
  sharing.map((row) => ({
    name: `at ${Number((row.x as number).toFixed(3))}`,
    x: row.x as number,
    published: row[column] as number,
    within: 1e-6,
  }));

const crossfader = ofBlock('crossfade', (spec) =>
  (
    [
      ['linear', 'lin', works.linearGain],
      ['equalPower', 'ep', works.equalPower],
    ] as const
  ).flatMap(([law, column, source]) => {
    const figure: Figure = { title: `Crossfader: ${law === 'linear' ? 'linear' : 'equal power'}`, x: place, y: share };
    return ['a', 'b'].map((input) =>
      lawCheck(spec.type, {
        title: `${law === 'linear' ? 'linear' : 'equal power'}: the gain of ${input.toUpperCase()}`,
        source,
        unit: '',
        figure,
        series: input.toUpperCase(),
        rows: rowsOf(`${column}_${input}`),
        at: async (position) => (await rest(spec, { settings: { position, law }, inputs: { [input]: 4 } }, 'out')) / 4,
      }),
    );
  }),
);

/** Both sides of a stereo place; position -1..1 is the table's 0..1. */
const placed = (type: string, setting: string, input: string, more: Readonly<Record<string, number>>): readonly Check[] =>
  ofBlock(type, (spec) => {
    const figure: Figure = { title: `${spec.title}: equal power`, x: place, y: share };
    return (
      [
        ['left', 'ep_a'],
        ['right', 'ep_b'],
      ] as const
    ).map(([side, column]) =>
      lawCheck(type, {
        title: `equal power: the gain of the ${side}`,
        source: works.equalPower,
        unit: '',
        figure,
        series: side,
        rows: rowsOf(column),
        at: async (x) => (await rest(spec, { settings: { ...more, [setting]: 2 * x - 1 }, inputs: { [input]: 4 } }, side)) / 4,
      }),
    );
  });

export const laws: Topic = {
  id: 'laws',
  title: 'Gain laws',
  say: 'A direct voltage through each law, at rest.',
  checks: [...amplifier, ...crossfader, ...placed('pan', 'position', 'in', {}), ...placed('stereoMixer', 'pan1', 'in1', { level1: 1 })],
};
