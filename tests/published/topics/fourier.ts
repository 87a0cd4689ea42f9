import { coherentSpectrum } from '../../../src/measure/spectrum.ts';
import { publishedWords } from '../../support/publishedTable.ts';
import { rmsOf } from '../../support/response.ts';
import { runKernel } from '../../support/runKernel.ts';
import { atMost, type Check, type Figure, ofBlock, once, type Row, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const RATE = 48000;
const SIZE = 65536;
/** An odd number of periods in SIZE frames: about 500 Hz, 31 harmonics below 16 kHz. */
const CYCLES = 683;
/** What is silent by theory lies at least this far down. */
const SILENT = -100;

const decibels = (ratio: number): number => 20 * Math.log10(ratio);
const series = publishedWords('fourier_amplitudes').slice(1);
const strengths = publishedWords('waveform_rms').slice(1);

/** Published shapes, their width and the output that has them. */
const shapes = [
  ['saw', 'saw', 0.5],
  ['triangle', 'triangle', 0.5],
  ['square', 'pulse', 0.5],
  ['pulse', 'pulse', 0.05],
  ['pulse', 'pulse', 0.25],
  ['pulse', 'pulse', 0.75],
] as const;

const nameOf = (shape: string, width: number): string => (shape === 'pulse' ? `pulse, ${Number((100 * width).toFixed(1))} % high` : shape);

const harmonics = ofBlock('oscillator', (spec): readonly Check[] =>
  shapes.map(([shape, output, width]) => {
    const rows = series
      .filter((words) => words[0] === shape && Number(words[1]) === width && Number(words[2]) > 0 && Number(words[2]) * CYCLES < SIZE / 3)
      .map(([, , n, amplitude]): Row => {
        const expected = 5 * Math.abs(Number(amplitude));
        const silent = expected < 1e-6;
        return {
          name: `harmonic ${n}`,
          x: Number(n),
          published: silent ? SILENT : decibels(expected),
          within: silent ? atMost : 0.01,
        };
      });
    const figure: Figure = {
      title: `Harmonics of the ${nameOf(shape, width)}`,
      x: { title: 'harmonic of 500 Hz', from: 0, to: 33 },
      y: { title: 'dB re 1 V', from: -80, to: 20 },
      stems: true,
      small: true,
    };
    return {
      block: spec.type,
      title: `the ${nameOf(shape, width)} has the published harmonics up to 16 kHz`,
      source: shape === 'pulse' ? works.fourierPulse : works.webAudioOscillator,
      unit: 'dB',
      rows,
      measure: async () => {
        const settings = { tune: (CYCLES * RATE) / SIZE, width };
        const out = await runKernel(spec, { frames: SIZE + 1000, settings, outputs: [output] });
        const found = coherentSpectrum(out[output] as Float32Array, 1000);
        return rows.map(({ x = 0 }) => decibels(Math.max(found[x * CYCLES] ?? Number.NaN, 1e-10)));
      },
      curve: { figure, series: nameOf(shape, width) },
    };
  }),
);

const strength = ofBlock('oscillator', (spec): readonly Check[] => {
  const outputs: Readonly<Record<string, string>> = { square: 'pulse' };
  const rows = strengths.map(
    ([shape = '', width, , db]): Row => ({ name: nameOf(shape, Number(width)), published: Number(db), within: 0.05 }),
  );
  const run = once(async () => {
    const found: number[] = [];
    for (const [shape = '', width] of strengths) {
      const output = outputs[shape] ?? shape;
      const settings = { tune: 100, width: Number(width) };
      const out = await runKernel(spec, { frames: RATE + 480, settings, outputs: [output] });
      found.push(decibels(rmsOf(out[output] as Float32Array, 480) / 5));
    }
    return found;
  });
  return [
    {
      block: spec.type,
      title: 'the waves at 100 Hz are as strong as the ideal ones of 5 V peak',
      source: works.meanSquare,
      unit: 'dB re 5 V',
      rows,
      measure: run,
    },
  ];
});

export const fourier: Topic = {
  id: 'fourier',
  title: 'Waveforms',
  say: 'Harmonics of the band-limited waves, read coherently (683 periods in 65536 frames, no window) at quality 1.',
  checks: [...harmonics, ...strength],
};
