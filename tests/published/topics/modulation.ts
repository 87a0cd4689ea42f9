import { coherentSpectrum, lineAt } from '../../../src/measure/spectrum.ts';
import { besselI0 } from '../../support/besselI0.ts';
import { grouped, publishedTable, publishedWords, type Row as TableRow } from '../../support/publishedTable.ts';
import { cyclesAt, upwardCrossings } from '../../support/response.ts';
import { runKernel, type Signal } from '../../support/runKernel.ts';
import { type Check, type Figure, ofBlock, type Row, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const RATE = 48000;
const FRAMES = 24000;

const cosine =
  (hz: number, volts: number): Signal =>
  (n) =>
    volts * Math.cos((2 * Math.PI * hz * n) / RATE);

interface Group {
  readonly carrier: number;
  readonly modulator: number;
  readonly index: number;
  readonly rows: readonly TableRow[];
}

/** fm_spectra.csv by carrier, modulator and index. */
const groups = grouped(publishedTable('fm_spectra'), (row) => `${row.fc_hz} ${row.fm_hz} ${row.I}`).map(([key, rows]): Group => {
  const [carrier = 0, modulator = 0, index = 0] = key.split(' ').map(Number);
  return { carrier, modulator, index, rows };
});

const linear = ofBlock('oscillator', (spec): readonly Check[] =>
  groups.map(({ carrier, modulator, index, rows: lines }) => {
    const ratio = `${carrier} Hz by ${Number(modulator.toFixed(1))} Hz, index ${Number(index.toFixed(3))}`;
    const rows = lines.map(
      (line): Row => ({ name: `${line.line_hz} Hz`, x: line.line_hz as number, published: 5 * (line.amplitude as number), within: 1e-3 }),
    );
    const highest = Math.max(...rows.map(({ x = 0 }) => x));
    const figure: Figure = {
      title: `Linear FM: ${ratio}`,
      x: { title: 'frequency, Hz', from: 0, to: Math.ceil(highest / 500) * 500 },
      y: { title: 'V, signed', from: -5, to: 5 },
      stems: true,
      small: true,
    };
    return {
      block: spec.type,
      title: `linear modulation, ${ratio}: side bands with their signs, folded at 0 Hz`,
      source: works.chowning,
      unit: 'V',
      rows,
      measure: async () => {
        const settings = { tune: carrier, fmLinAmount: (index * modulator) / (carrier * 0.8 * 10) };
        const run = { frames: FRAMES, settings, inputs: { fmLin: cosine(modulator, 10) }, outputs: ['sine'] };
        const sine = (await runKernel(spec, run)).sine as Float32Array;
        return rows.map(({ x = 0 }) => {
          const line = lineAt(sine, x, RATE, 'sevenTerm');
          return x === 0 ? line.amplitude : -line.amplitude * Math.sin(line.phase);
        });
      },
      curve: { figure, series: 'line' },
    };
  }),
);

const exponential = ofBlock('oscillator', (spec): readonly Check[] => {
  const octaves = [0, 0.25, 0.5, 1, 1.5, 2];
  const figure: Figure = {
    title: 'Exponential FM raises the mean pitch',
    say: '500 Hz, modulated by a sine of 50 Hz; mean frequency over whole periods of the modulator.',
    x: { title: 'octaves, peak', from: 0, to: 2.1 },
    y: { title: 'mean frequency / 500 Hz', from: 1, to: 1.6 },
    small: true,
  };
  return [
    {
      block: spec.type,
      title: 'exponential modulation raises the mean frequency as I0 says',
      source: works.besselI,
      unit: '',
      rows: octaves.map((depth) => ({ name: `${depth} octaves`, x: depth, published: besselI0(depth * Math.LN2), within: 2e-4 })),
      measure: async () => {
        const found: number[] = [];
        for (const depth of octaves) {
          const settings = { tune: 500, fmExpAmount: 0.5 };
          const inputs = { fmExp: (n: number) => 2 * depth * Math.sin((2 * Math.PI * 50 * n) / RATE) };
          const { sine } = await runKernel(spec, { frames: 4 * RATE + 2000, settings, inputs, outputs: ['sine'] });
          // 200 whole periods of the modulator, fractions of a cycle at both ends included.
          const at = upwardCrossings(sine as Float32Array);
          found.push((cyclesAt(at, 480 + 4 * RATE) - cyclesAt(at, 480)) / (4 * 500));
        }
        return found;
      },
      curve: { figure, series: 'mean' },
    },
  ];
});

/** sin(I sin x) = 2 sum of J_n(I) sin(n x), n odd; with a shift of a quarter turn cos(I sin x): J_0 and the even ones. */
const folded = ofBlock('wavefolder', (spec): readonly Check[] => {
  const [size, cycles] = [65536, 683];
  const bessel = grouped(publishedTable('bessel_jn'), (row) => String(row.I)).filter(([index]) => [5, 10, 12, 15].includes(Number(index)));
  return bessel.flatMap(([index, terms]) =>
    [0, 1].map((symmetry): Check => {
      const name = `index ${index}, symmetry ${symmetry}`;
      const rows = terms.map(({ n = 0, Jn = 0 }): Row => {
        const published = n % 2 === 1 - symmetry ? Math.abs(5 * (n === 0 ? 1 : 2) * Jn) : 0;
        return { name: `harmonic ${n}`, x: n, published, within: 0.001 * published + 1e-4 };
      });
      const figure: Figure = {
        title: `Folded sine: ${name}`,
        x: { title: 'harmonic of 500 Hz', from: -0.5, to: 20.5 },
        y: { title: 'V', from: 0, to: 5 },
        stems: true,
        small: true,
      };
      return {
        block: spec.type,
        title: `a folded sine has the lines of linear modulation, ${name}`,
        source: works.jacobiAnger,
        unit: 'V',
        rows,
        measure: async () => {
          const tone = (n: number): number => ((5 * Number(index)) / 12) * Math.sin((2 * Math.PI * cycles * n) / size);
          const run = { frames: 2 * size, settings: { fold: 1, symmetry }, inputs: { in: tone }, outputs: ['out'] };
          const lines = coherentSpectrum((await runKernel(spec, run)).out as Float32Array, size, size);
          return rows.map(({ x = 0 }) => lines[x * cycles] ?? Number.NaN);
        },
        curve: { figure, series: 'line' },
      };
    }),
  );
});

/** am_ring_sidebands.csv by kind, carrier, modulator and depth; repeated groups once. */
const products = grouped(publishedWords('am_ring_sidebands').slice(1), (words) => words.slice(0, 4).join(' ')).map(([, lines]) => {
  const [kind = '', carrier, modulator, depth] = lines[0] ?? [];
  const once = [...new Map(lines.map((line) => [line[4], line])).values()];
  return { kind, carrier: Number(carrier), modulator: Number(modulator), depth: Number(depth), lines: once };
});

/** Amplitudes of the lines at an output, for inputs made of cosines; `unit` volts are the table's 1. */
const sideBands = (
  type: string,
  kind: string,
  unit: number,
  inputsFor: (group: (typeof products)[number]) => Readonly<Record<string, Signal>>,
  settings: Readonly<Record<string, number>>,
): readonly Check[] =>
  ofBlock(type, (spec) =>
    products
      .filter((group) => group.kind === kind)
      .map((group) => {
        const ratio = `${group.carrier} Hz by ${group.modulator} Hz${kind === 'am' ? `, depth ${group.depth}` : ''}`;
        const rows = group.lines.map(
          (line): Row => ({ name: `${line[4]} Hz`, x: Number(line[4]), published: Number(line[5]), within: 1e-4 }),
        );
        const figure: Figure = {
          title: `${spec.title}: ${ratio}`,
          x: { title: 'frequency, Hz', from: 0, to: Math.ceil((group.carrier + group.modulator) / 500) * 500 },
          y: { title: 'amplitude', from: 0, to: 1.1 },
          stems: true,
          small: true,
        };
        // The carrier that must be gone, where the table has no row for it.
        const gone: readonly Row[] = kind === 'ring' ? [{ name: 'carrier', x: group.carrier, published: 0, within: 1e-5 }] : [];
        const all = [...rows, ...gone];
        return {
          block: type,
          title: `${kind === 'am' ? 'amplitude modulation' : 'four-quadrant product'}, ${ratio}: side bands`,
          source: works.product,
          unit: '',
          rows: all,
          measure: async () => {
            const out = (await runKernel(spec, { frames: RATE, settings, inputs: inputsFor(group), outputs: ['out'] })).out as Float32Array;
            return all.map(({ x = 0 }) => lineAt(out, x, RATE).amplitude / unit);
          },
          curve: { figure, series: 'line' },
        };
      }),
  );

export const modulation: Topic = {
  id: 'modulation',
  title: 'Modulation',
  say: 'Side bands of sines that modulate each other. Linear FM goes through zero: lines below 0 Hz come back with their sign turned.',
  checks: [
    ...linear,
    ...exponential,
    ...folded,
    ...sideBands('vca', 'am', 2.5, ({ carrier, modulator, depth }) => ({ in: cosine(carrier, 5), cv: cosine(modulator, 4 * depth) }), {
      level: 0.5,
    }),
    ...sideBands('ringmod', 'ring', 5, ({ carrier, modulator }) => ({ x: cosine(carrier, 5), y: cosine(modulator, 5) }), {}),
  ],
};
