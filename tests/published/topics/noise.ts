import { thirdOctaves } from '../../../src/measure/thirdOctaves.ts';
import { runKernel } from '../../support/runKernel.ts';
import { type Axis, type Check, type Figure, ofBlock, once, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const SECONDS = 40;
/** dB per decade. */
const colours = { white: 0, pink: 10, red: 20 } as const;
const hertz: Axis = { title: 'frequency, Hz', log: true, from: 35, to: 18000 };

/** The bands from 40 Hz to 16 kHz: 40 s leave a standard error of 0.2 dB in the narrowest, so those below 200 Hz are given 0.5 dB more. */
const bands = Array.from({ length: 27 }, (_, i) => 10 ** ((16 + i) / 10));

const figure: Figure = {
  title: 'Noise: power per hertz in third-octave bands',
  say: `${SECONDS} s at 48 kHz, each colour relative to its own law at 1 kHz.`,
  x: hertz,
  y: { title: 'dB re 1 kHz', from: -30, to: 30 },
};

const others: Figure = { title: 'Noise: deviation from the law at 44.1 and 96 kHz', x: hertz };

export const noise: Topic = {
  id: 'noise',
  title: 'Noise colours',
  say: 'White, pink and red noise in third-octave bands (IEC 61260-1), against straight lines over the logarithm of frequency.',
  checks: ofBlock('noise', (spec): readonly Check[] =>
    [48000, 44100, 96000].flatMap((sampleRate) =>
      Object.entries(colours).map(([colour, slope], look): Check => {
        const law = (hz: number): number => -slope * Math.log10(hz / 1000);
        const levels = once(async () => {
          const out = await runKernel(spec, { sampleRate, frames: SECONDS * sampleRate, outputs: [colour] });
          const found = thirdOctaves(out[colour] as Float32Array, sampleRate, 40, 16000);
          const high = found.filter(({ hz }) => hz > 500);
          const offset = high.reduce((sum, { hz, db }) => sum + db - law(hz), 0) / high.length;
          return found.map(({ db }) => db - offset);
        });
        return {
          block: spec.type,
          title: `${colour} at ${sampleRate} Hz falls by ${slope} dB per decade`,
          source: works.bandwidthTime,
          unit: 'dB',
          rows: bands.map((hz) => ({ name: `${hz.toFixed(0)} Hz`, x: hz, published: law(hz), within: hz > 200 ? 0.5 : 1 })),
          measure: levels,
          curve: { figure: sampleRate === 48000 ? figure : others, series: colour, look: look + 1 },
        };
      }),
    ),
  ),
};
