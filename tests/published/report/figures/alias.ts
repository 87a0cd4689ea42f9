/** Spectra of everything that makes new frequencies, at quality 1 and 4: true lines as stems, all else filled. */
import { ALIAS_FRAMES, type AliasBench, aliasBench, coherentSine, readAlias, SETTLE } from '../../../support/aliasBench.ts';
import { besselI0 } from '../../../support/besselI0.ts';
import { runKernel, type Signal } from '../../../support/runKernel.ts';
import { blockSpec, type Point } from '../../check.ts';
import type { Drawn, Key } from '../figure.ts';
import { type Panel, plot, type Series } from '../plot.ts';
import { linearScale, written } from '../scale.ts';

/** What is played, in numbers of cycles per analysis. */
interface Case {
  readonly title: string;
  readonly type: string;
  readonly output: string;
  /** Common divisor of all lines, near this frequency. */
  readonly gridHz: number;
  readonly play: (
    grid: number,
    bench: AliasBench,
  ) => Promise<{ readonly settings: Readonly<Record<string, number | string>>; readonly inputs?: Readonly<Record<string, Signal>> }>;
  /** The wave without band limits, by the place in the period: for comparison. */
  readonly plain?: (place: number) => number;
}

const FLOOR = -180;
const TOP = 20000;
const COLUMNS = 480;

const steady = (output: string, plain: (place: number) => number): Case => ({
  title: `Steady ${output} of 2.5 kHz`,
  type: 'oscillator',
  output,
  gridHz: 2500,
  play: async (grid, bench) => ({ settings: { tune: bench.hz(grid) } }),
  plain,
});

/** A modulator and a carrier as multiples of a step. */
const modulated = (
  title: string,
  output: string,
  input: string,
  stepHz: number,
  modulator: number,
  carrier: number,
  amount: number,
): Case => ({
  title,
  type: 'oscillator',
  output,
  gridHz: stepHz,
  play: async (grid, bench) => {
    const mean = input === 'fmExp' ? besselI0(Math.LN2) : 1;
    const settings = { tune: bench.hz(carrier * grid) / mean, [`${input}Amount`]: amount };
    return { settings, inputs: { [input]: coherentSine(modulator * grid, 5) } };
  },
});

/** A saw as master; soft sync turns the wave twice before it repeats. */
const synced = (sync: 'hard' | 'soft', output: string, ratio: number): Case => ({
  title: `${sync === 'hard' ? 'Hard' : 'Soft'} sync: ${output} at ${ratio} x 440 Hz`,
  type: 'oscillator',
  output,
  gridHz: sync === 'soft' ? 220 : 440,
  play: async (grid, bench) => {
    const master = bench.hz(sync === 'soft' ? 2 * grid : grid);
    const spec = blockSpec('oscillator');
    if (!spec) throw new Error('no oscillator');
    const { saw } = await runKernel(spec, {
      quality: bench.quality,
      frames: SETTLE + ALIAS_FRAMES,
      settings: { tune: master },
      outputs: ['saw'],
    });
    return { settings: { tune: ratio * master, sync }, inputs: { sync: saw as Float32Array } };
  },
});

const shaped = (
  type: string,
  title: string,
  output: string,
  settings: Readonly<Record<string, number>>,
  shape?: (volts: number) => number,
): Case => ({
  title,
  type,
  output,
  gridHz: 1244.51,
  play: async (grid) => ({ settings, inputs: { in: coherentSine(grid, 5) } }),
  ...(shape ? { plain: (place: number) => shape(5 * Math.sin(2 * Math.PI * place)) } : {}),
});

const cases: readonly Case[] = [
  steady('saw', (p) => 2 * p - 1),
  steady('pulse', (p) => (p < 0.5 ? 1 : -1)),
  steady('triangle', (p) => 1 - 4 * Math.abs(((p + 0.25) % 1) - 0.5)),
  modulated('Linear FM, through zero: sine of 587 Hz by 4.1 kHz', 'sine', 'fmLin', 587, 7, 1, 0.5),
  modulated('Linear FM, through zero: saw of 750 Hz by 450 Hz', 'saw', 'fmLin', 150, 3, 5, 0.5),
  modulated('Exponential FM, an octave up and down: saw of 588 Hz by 1.5 kHz', 'saw', 'fmExp', 294, 5, 2, 0.2),
  modulated('Pulse width from 0.1 to 0.9: 588 Hz by 1.5 kHz', 'pulse', 'width', 294, 5, 2, 0.8),
  synced('hard', 'saw', 2.71),
  synced('soft', 'triangle', 1.37),
  shaped('wavefolder', 'Wavefolder at full fold: sine of 1244.5 Hz', 'out', { fold: 1 }, (volts) => Math.sin((12 * volts) / 5)),
  shaped('saturator', 'Saturator at 20 dB: sine of 1244.5 Hz', 'out', { drive: 20 }),
  shaped('rectifier', 'Rectifier, full wave: sine of 1244.5 Hz', 'full', {}, Math.abs),
];

const decibels = (lines: Float64Array, strongest: number, bin: number): number =>
  Math.max(FLOOR, 20 * Math.log10((lines[bin] as number) / strongest));

/** The strongest line beside the grid in each of COLUMNS columns. */
function aliasCurve(lines: Float64Array, strongest: number, grid: number): Point[] {
  const points: Point[] = [];
  const perColumn = lines.length / COLUMNS;
  for (let column = 0; column < COLUMNS; column++) {
    let most = FLOOR;
    for (let bin = Math.max(1, Math.floor(column * perColumn)); bin < (column + 1) * perColumn; bin++) {
      if (bin % grid !== 0) most = Math.max(most, decibels(lines, strongest, bin));
    }
    points.push({ x: ((column + 0.5) / COLUMNS) * 20, y: most });
  }
  return points;
}

function trueLines(lines: Float64Array, strongest: number, grid: number, bench: AliasBench): Point[] {
  const points: Point[] = [];
  for (let bin = grid; bin < lines.length; bin += grid) {
    const y = decibels(lines, strongest, bin);
    if (y > -150) points.push({ x: bench.hz(bin) / 1000, y });
  }
  return points;
}

async function panelOf(one: Case, quality: 1 | 4): Promise<Panel | undefined> {
  const spec = blockSpec(one.type);
  if (!spec) return undefined;
  const bench = aliasBench(quality);
  const grid = bench.cycles(one.gridHz);
  const run = { quality, frames: SETTLE + ALIAS_FRAMES, ...(await one.play(grid, bench)), outputs: [one.output] };
  const signal = (await runKernel(spec, run))[one.output] as Float32Array;
  const { lines, strongest } = readAlias(signal, grid, bench, TOP);
  const { worst } = readAlias(signal, grid, bench);
  const series: Series[] = [];
  if (one.plain && quality === 1) {
    const plain = Float64Array.from(
      { length: SETTLE + ALIAS_FRAMES },
      (_, n) => one.plain?.(((grid * n) % ALIAS_FRAMES) / ALIAS_FRAMES) ?? 0,
    );
    const reading = readAlias(plain, grid, bench, TOP);
    series.push({ as: 'line', style: 'pale', points: aliasCurve(reading.lines, reading.strongest, grid) });
  }
  series.push(
    { as: 'area', style: 'alias', points: aliasCurve(lines, strongest, grid) },
    { as: 'stems', style: '1', points: trueLines(lines, strongest, grid, bench) },
  );
  return {
    y: linearScale(FLOOR, 0, 4),
    title: 'dB',
    height: 108,
    series,
    rules: worst > FLOOR ? [{ y: worst, style: 'limit' }] : [],
    head: [`quality ${quality}`, `alias at most ${written(worst, 4)} dB below ${bench.top / 1000} kHz`],
  };
}

export async function aliasFigures(): Promise<readonly Drawn[]> {
  const drawn: Drawn[] = [];
  for (const one of cases) {
    const panels = [await panelOf(one, 1), await panelOf(one, 4)].filter((panel) => panel !== undefined);
    if (panels.length === 0) continue;
    const keys: Key[] = [
      { as: 'stems', style: '1', name: 'true lines' },
      { as: 'area', style: 'alias', name: 'alias' },
      ...(one.plain ? [{ as: 'line', style: 'pale', name: 'alias of the plain formula' } as const] : []),
    ];
    drawn.push({
      title: one.title,
      svg: plot(linearScale(0, 20, 8), 'frequency, kHz', panels, one.title),
      keys,
      sources: ['coherent sampling; levels relative to the strongest line'],
    });
  }
  return drawn;
}
