import { publishedTable } from '../../support/publishedTable.ts';
import { runKernel, type Signal } from '../../support/runKernel.ts';
import { type Check, type Figure, ofBlock, once, type Row, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const RATE = 48000;
/** Frames per time constant: the table's times fall on whole frames or between two that are 0.002 % apart. */
const TAU = 48000;
const table = publishedTable('rc_step');

/** Value at a time in frames, fractions by a straight line. */
function between(signal: ArrayLike<number>, frame: number): number {
  const n = Math.floor(frame);
  const [a = Number.NaN, b = a] = [signal[n], signal[n + 1]];
  return a + (b - a) * (frame - n);
}

/** Shares of the way, sampled at the rows' times in time constants. */
interface Way {
  readonly block: string;
  readonly title: string;
  readonly series: string;
  readonly figure: Figure;
  readonly rows: readonly Row[];
  /** The share of the way at a time in time constants. */
  readonly share: () => Promise<(t: number) => number>;
}

function wayCheck({ block, title, series, figure, rows, share }: Way): Check {
  const last = Math.max(...rows.map(({ x = 0 }) => x));
  return {
    block,
    title,
    source: works.capacitor,
    unit: 'of the way',
    rows,
    measure: async () => {
      const at = await share();
      return rows.map(({ x = 0 }) => at(x));
    },
    curve: {
      figure,
      series,
      trace: async () => {
        const at = await share();
        return Array.from({ length: 121 }, (_, i) => ({ x: (last * i) / 120, y: at((last * i) / 120) }));
      },
    },
  };
}

const time = { title: 'time constants', from: 0 };
const way = { title: 'share of the way', from: 0, to: 1 };
const chargeRows = (last: number, whole: number, within: number): Row[] =>
  table
    .filter(({ t_over_tau = 0 }) => t_over_tau <= last)
    .map(({ t_over_tau = 0, charge = 0 }) => ({ name: `${t_over_tau} tau`, x: t_over_tau, published: charge / whole, within }));

const contours: Figure = { title: 'Envelope: attack and decay of a capacitor', x: { ...time, to: 3 }, y: way };

/** A decay at curve -0.6 lasts three time constants, an attack at curve c stops -1.5 c time constants short of its aim. */
const contour = ofBlock('contour', (spec): readonly Check[] => {
  const PEAK = 8;
  const decay = wayCheck({
    block: spec.type,
    title: 'decays like a capacitor whose discharge ends after three time constants (curve -0.6)',
    series: 'decay, curve -0.6',
    figure: contours,
    rows: chargeRows(3, 1 - Math.exp(-3), 1e-6),
    share: once(async () => {
      const settings = { attack: 0.0003, decay: (3 * TAU) / RATE };
      const { contour: out } = await runKernel(spec, { frames: 3 * TAU + 100, settings, inputs: { gate: 8 }, outputs: ['contour'] });
      const signal = out as Float32Array;
      const from = signal.indexOf(PEAK);
      return (t) => 1 - between(signal, from + t * TAU) / PEAK;
    }),
  });
  // envelope_attack_target.csv: an attack that aims at `target_ratio` times the peak and is cut off there
  const attacks = publishedTable('envelope_attack_target').filter(({ duration_over_tau = 9 }) => duration_over_tau <= 1.5);
  return [
    decay,
    ...attacks.map(({ target_ratio = 1, duration_over_tau: lasts = 1 }) =>
      wayCheck({
        block: spec.type,
        title: `attacks like a capacitor that aims at ${target_ratio} times the peak`,
        series: `attack, aim ${target_ratio}`,
        figure: contours,
        // short of its end, which falls between two frames
        rows: chargeRows(0.9999 * lasts, 1 / target_ratio, 1e-5),
        share: once(async () => {
          const settings = { attack: (lasts * TAU) / RATE, curve: -lasts / 1.5 };
          const run = { frames: Math.ceil(lasts * TAU) + 100, settings, inputs: { gate: 8 }, outputs: ['contour'] };
          const signal = (await runKernel(spec, run)).contour as Float32Array;
          return (t) => between(signal, t * TAU) / PEAK;
        }),
      }),
    ),
  ];
});

const lags: Figure = { title: 'Slew and envelope follower: the same capacitor', x: { ...time, to: 5 }, y: way };
const step: Signal = (n) => (n < 1 ? 0 : 10);

/** At shape -1 the time is five time constants. */
const slew = ofBlock('slew', (spec): readonly Check[] => [
  wayCheck({
    block: spec.type,
    title: 'at shape -1 a step of 10 V is the charge of a capacitor that ends after five time constants',
    series: 'slew, shape -1',
    figure: lags,
    rows: chargeRows(5, 1 - Math.exp(-5), 1e-6),
    share: once(async () => {
      const settings = { rise: (5 * TAU) / RATE, fall: 0, shape: -1 };
      const { out } = await runKernel(spec, { frames: 5 * TAU + 100, settings, inputs: { in: step }, outputs: ['out'] });
      return (t) => between(out as Float32Array, t * TAU) / 10;
    }),
  }),
  {
    block: spec.type,
    title: 'a straight line takes step / rate seconds',
    source: works.straightLine,
    unit: 's',
    rows: publishedTable('slew_linear')
      .filter((row) => (row.time_s as number) <= 2)
      .map((row) => ({ name: `${row.step_v} V at ${row.rate_v_per_s} V/s`, published: row.time_s as number, within: 1 / RATE })),
    measure: async () => {
      const found: number[] = [];
      for (const row of publishedTable('slew_linear').filter((line) => (line.time_s as number) <= 2)) {
        const [volts, perSecond, seconds] = [row.step_v as number, row.rate_v_per_s as number, row.time_s as number];
        const run = { frames: Math.ceil(seconds * RATE) + 20, settings: { rise: 10 / perSecond }, inputs: { in: volts }, outputs: ['out'] };
        const { out } = await runKernel(spec, run);
        found.push(((out as Float32Array).indexOf(Math.fround(volts)) + 1) / RATE);
      }
      return found;
    },
  },
]);

/** Attack and release are time constants; 5 V at the input are 8 V at the output. */
const follower = ofBlock('follower', (spec): readonly Check[] => {
  const seen = (settings: Readonly<Record<string, number>>, signal: Signal, from: number) =>
    once(async () => {
      const run = { frames: from + 5 * TAU + 100, settings, inputs: { in: signal }, outputs: ['out'] };
      const out = (await runKernel(spec, run)).out as Float32Array;
      return (t: number) => between(out, from + t * TAU) / 8;
    });
  const loud: Signal = (n) => (n < 1 ? 0 : -5);
  const fall = seen({ attack: 0.0003, release: TAU / RATE }, (n) => (n <= 600 ? 5 : 0), 600);
  return [
    wayCheck({
      block: spec.type,
      title: 'an attack is the charge of a capacitor',
      series: 'follower, attack',
      figure: lags,
      rows: chargeRows(5, 1, 1e-5),
      share: seen({ attack: TAU / RATE }, loud, 0),
    }),
    wayCheck({
      block: spec.type,
      title: 'a release is its discharge',
      series: 'follower, release',
      figure: lags,
      // The shortest attack goes ahead of it: late by 0.3 ms of a second.
      rows: chargeRows(5, 1, 5e-4),
      share: async () => {
        const at = await fall();
        return (t) => 1 - at(t);
      },
    }),
  ];
});

export const capacitors: Topic = {
  id: 'capacitors',
  title: 'Envelopes and lags',
  say: 'Segments that move fast first are pieces of the charge of a capacitor, cut off where they arrive.',
  checks: [...contour, ...slew, ...follower],
};
