import { publishedWords } from '../../support/publishedTable.ts';
import { cents, frequencyOf, impulse, toneFrequency } from '../../support/response.ts';
import { runKernel } from '../../support/runKernel.ts';
import { type Check, type Figure, ofBlock, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const RATE = 48000;

/** All 128 notes of equal_temperament_a440.csv. */
const notes = publishedWords('equal_temperament_a440')
  .slice(1)
  .map(([midi, name, hz, volts]) => ({ midi: Number(midi), name: name ?? '', hz: Number(hz), volts: Number(volts) }));

const hertz = { title: 'frequency, Hz', log: true, from: 8, to: 13000 };
const tuning: Figure = {
  title: 'Oscillator: tuning of all 128 notes',
  say:
    'Two seconds of the sine for each note; its frequency from the phases at both ends. The common 0.0002 cents are the rounding of the ' +
    'default tune, 261.6256 Hz; the fan at both ends is that of float32 volts.',
  x: hertz,
};
const tracking: Figure = {
  title: 'Self-oscillation over eight octaves',
  say: 'Resonance at its maximum, one impulse of 1 V, the pitch input moved by whole volts.',
  x: { ...hertz, from: 30, to: 10000 },
};

const oscillator = ofBlock('oscillator', (spec): readonly Check[] => [
  {
    block: spec.type,
    title: 'all 128 notes, from 8 Hz to 12.5 kHz, are those of equal temperament',
    source: works.iso16,
    unit: 'cents',
    rows: notes.map(({ name, midi, hz }) => ({ name: `${name} (${midi})`, x: hz, published: 0, within: 0.001 })),
    measure: async () => {
      const found: number[] = [];
      for (const { hz, volts } of notes) {
        const { sine } = await runKernel(spec, { frames: 2 * RATE, inputs: { pitch: volts }, outputs: ['sine'] });
        found.push(cents(toneFrequency(sine as Float32Array, RATE), hz));
      }
      return found;
    },
    curve: { figure: tuning, series: 'deviation' },
  },
]);

/** An oscillating filter, in tune with its cutoff. The reference asks for 2 cents to 5 kHz and 5 cents to 10 kHz. */
const oscillating = (type: string, output: string, within: number): readonly Check[] =>
  ofBlock(type, (spec) => {
    const volts = [-3, -2, -1, 0, 1, 2, 3, 4, 5];
    const tuned = (pitch: number): number => 261.625565 * 2 ** pitch;
    return [
      {
        block: type,
        title: 'oscillates by itself at its cutoff and follows 1 V per octave',
        source: works.voltPerOctave,
        unit: 'cents',
        rows: volts.map((pitch) => ({ name: `${pitch} V`, x: tuned(pitch), published: 0, within })),
        measure: async () => {
          const found: number[] = [];
          for (const pitch of volts) {
            // Until it has settled: 250 cycles.
            const frames = Math.round(RATE * Math.max(2.5, 250 / tuned(pitch)));
            const settings = { cutoff: tuned(0), resonance: 1 };
            const run = { frames, settings, inputs: { pitch, in: impulse() }, outputs: [output] };
            const signal = (await runKernel(spec, run))[output] as Float32Array;
            found.push(cents(frequencyOf(signal, RATE, Math.floor(0.75 * frames)), tuned(pitch)));
          }
          return found;
        },
        curve: { figure: tracking, series: spec.title },
      },
    ];
  });

export const temperament: Topic = {
  id: 'temperament',
  title: 'Pitch',
  say: 'How far each note lies from twelve equal steps to the octave with A4 = 440 Hz. A listener notices about 5 cents.',
  checks: [...oscillator, ...oscillating('filter', 'lowpass', 0.2), ...oscillating('ladder', 'lowpass24', 0.3)],
};
