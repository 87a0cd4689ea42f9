import type { BlockSpec } from '../../../src/patch/blockSpec.ts';
import { grouped, publishedTable, publishedWords } from '../../support/publishedTable.ts';
import { gainAt, impulse } from '../../support/response.ts';
import { type KernelRun, runKernel } from '../../support/runKernel.ts';
import { type Check, type Curve, type Figure, ofBlock, once, type Row, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const RATE = 48000;
/** Rows below this are left out: there float32 cables and the end of the impulse response begin to show. */
const FLOOR = -100;

const hertz = { title: 'frequency, Hz', log: true, from: 20, to: 22000 };
const gain = { title: 'dB', from: -80, to: 25 };
const between = Array.from({ length: 121 }, (_, i) => 20 * 1100 ** (i / 120));

/** An impulse of `height` volts through a block. */
const response = (spec: BlockSpec, run: Omit<KernelRun, 'inputs'>, input: string, height = 1) =>
  once(() => runKernel(spec, { ...run, inputs: { [input]: impulse(height) } }));

interface Measured {
  readonly response: () => Promise<Record<string, Float32Array>>;
  readonly output: string;
  readonly height?: number;
  /** Added to what is measured, dB. */
  readonly shift?: number;
}

/** One response against its rows, and its curve. */
function responseCheck(check: Pick<Check, 'block' | 'title' | 'source' | 'rows'>, how: Measured, curve: Curve): Check {
  const at = async (hz: number): Promise<number> =>
    gainAt((await how.response())[how.output] as Float32Array, hz, RATE, how.height) + (how.shift ?? 0);
  // Between the rows and on them, so that no peak is cut.
  const places = [...between, ...check.rows.map(({ x = 0 }) => x)].sort((a, b) => a - b);
  return {
    ...check,
    unit: 'dB',
    measure: () => Promise.all(check.rows.map(({ x = 0 }) => at(x))),
    curve: { ...curve, trace: () => Promise.all(places.map(async (x) => ({ x, y: await at(x) }))) },
  };
}

const rowsOf = (points: readonly (readonly [hz: number, db: number])[], within: number): Row[] =>
  points.filter(([, db]) => db > FLOOR).map(([hz, db]) => ({ name: `${hz} Hz`, x: hz, published: db, within }));

/** Q = 1 / k, k = 2 (1 - resonance): the catalogue's law. */
const twoPole = ofBlock('filter', (spec): readonly Check[] => {
  const modes = { lp: 'lowpass', bp: 'bandpass', hp: 'highpass', notch: 'notch' } as const;
  const cutoffs = grouped(publishedWords('svf_response').slice(1), ([cutoff]) => cutoff ?? '');
  const say = `Cutoffs of ${cutoffs.map(([cutoff]) => cutoff).join(', ')} Hz.`;
  const figures = new Map(
    Object.entries(modes).map(([mode, output]): [string, Figure] => [
      mode,
      { title: `State-variable filter: ${output}`, say, x: hertz, y: gain },
    ]),
  );
  return cutoffs.flatMap(([cutoff, atCutoff]) =>
    grouped(atCutoff, ([, q]) => q ?? '').flatMap(([q, atQ], i) => {
      const settings = { cutoff: Number(cutoff), resonance: 1 - 0.5 / Number(q) };
      const ringing = response(spec, { frames: 16384, settings }, 'in');
      const series = `Q ${Number(Number(q).toFixed(3))}`;
      return grouped(atQ, ([, , mode]) => mode ?? '').map(([mode, lines]) => {
        const output = modes[mode as keyof typeof modes];
        const points = lines.map(([, , , hz, , bilinear]) => [Number(hz), Number(bilinear)] as const);
        // The table's band-pass is 0 dB at its peak, (s / Q) / D; the block's is s / D, which is Q times that.
        const shift = mode === 'bp' ? -20 * Math.log10(Number(q)) : 0;
        const title = `${output}, cutoff ${cutoff} Hz, ${series}: the published response down to ${FLOOR} dB`;
        const check = { block: spec.type, title, source: works.twoPole, rows: rowsOf(points, 0.02) };
        return responseCheck(check, { response: ringing, output, shift }, { figure: figures.get(mode) as Figure, series, look: i + 1 });
      });
    }),
  );
});

/** k = 4 resonance / 0.95: the catalogue's law. */
const fourPole = ofBlock('ladder', (spec): readonly Check[] => {
  const cutoffs = grouped(publishedTable('ladder_response'), ({ fc_hz }) => String(fc_hz));
  // Two figures, cutoffs in turn: one would be crowded.
  const figures = [0, 1].map((part): Figure => {
    const shown = cutoffs.filter((_, c) => c % 2 === part).map(([cutoff]) => cutoff);
    const say = 'The gain at dc is 1 / (1 + k); at k = 4 it would oscillate.';
    return { title: `Ladder: 24 dB low-pass, cutoffs of ${shown.join(', ')} Hz`, say, x: hertz, y: gain };
  });
  return cutoffs.flatMap(([cutoff, atCutoff], c) =>
    grouped(atCutoff, (row) => String(row.k)).map(([k, lines], i) => {
      // Long enough for the ringing to be over.
      const frames = Math.max(16384, Number(k) > 3.5 ? (300 * RATE) / Number(cutoff) : 0);
      const settings = { cutoff: Number(cutoff), resonance: (0.95 * Number(k)) / 4 };
      const points = lines.map((row) => [row.f_hz as number, row.bilinear_db as number] as const);
      const title = `24 dB low-pass, cutoff ${cutoff} Hz, k = ${k}: the published response down to ${FLOOR} dB`;
      const how = { response: response(spec, { frames, settings, outputs: ['lowpass24'] }, 'in'), output: 'lowpass24' };
      const check = { block: spec.type, title, source: works.ladder, rows: rowsOf(points, 0.02) };
      return responseCheck(check, how, { figure: figures[c % 2] as Figure, series: `k ${k}`, look: i + 1 });
    }),
  );
});

const firstOrder = publishedTable('onepole_response').filter((row) => row.fs === RATE && row.fc_hz === 5);
const blocker: Figure = {
  title: 'AC coupling and dc block: first-order high-pass at 5 Hz',
  x: { ...hertz, to: 1000 },
  y: { title: 'dB', from: -0.3, to: 0.05 },
};
const highPass = (type: string, input: string, output: string, settings: NonNullable<KernelRun['settings']>): readonly Check[] =>
  ofBlock(type, (spec) => {
    const run = { frames: 2 * RATE, settings, outputs: [output] };
    const rows = rowsOf(
      firstOrder.map((row) => [row.f_hz as number, row.hp_bilinear_db as number] as const),
      0.005,
    );
    const how = { response: response(spec, run, input, 8), output, height: 8 };
    return [
      responseCheck({ block: type, title: 'is the 5 Hz high-pass', source: works.firstOrder, rows }, how, {
        figure: blocker,
        series: spec.title,
      }),
    ];
  });

export const filters: Topic = {
  id: 'filters',
  title: 'Filters',
  say:
    'Fourier transform of the impulse response at 48 kHz, quality 1, against analog responses seen through the bilinear transform, ' +
    'prewarped at the cutoff. Small signals: nothing saturates.',
  checks: [
    ...twoPole,
    ...fourPole,
    ...highPass('attenuverter', 'in', 'out', { coupling: 'ac' }),
    ...highPass('output', 'left', 'busLeft', { level: 0, dcBlock: true, ceiling: false }),
  ],
};
