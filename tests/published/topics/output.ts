import { toDb } from '../../../src/measure/levels.ts';
import { truePeakOf } from '../../../src/measure/truePeak.ts';
import { annex2Peak, nastySignals, throughCeiling } from '../../support/ceilingBench.ts';
import { decimatorGains, impulseResponse } from '../../support/decimatorBench.ts';
import { atMost, type Check, type Figure, once, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const RATE = 48000;

const whole: Figure = {
  title: 'Decimator: the whole response',
  say: 'From the impulse response, 48 kHz out of 2, 4 and 8 times that.',
  x: { title: 'frequency, kHz', from: 0, to: 96 },
  y: { title: 'dB', from: -160, to: 10 },
};

const decimator = ([2, 4, 8] as const).map((quality): Check => {
  const gains = once(async () => decimatorGains(impulseResponse(RATE, quality).response, RATE * quality));
  return {
    block: 'decimator',
    title: `quality ${quality}: flat to 20 kHz, and shut from rate - 20 kHz upward`,
    source: works.ownMark,
    unit: 'dB',
    rows: [
      { name: 'ripple up to 20 kHz', published: 0.05, within: atMost },
      { name: 'most that passes from 28 kHz upward', published: -100, within: atMost },
    ],
    measure: async () => {
      const all = await gains();
      const pass = all.filter(({ x }) => x <= 20000).map(({ y }) => Math.abs(y));
      const stop = all.filter(({ x }) => x >= RATE - 20000).map(({ y }) => y);
      return [Math.max(...pass), Math.max(...stop)];
    },
    curve: {
      figure: whole,
      series: `quality ${quality}`,
      trace: async () => (await gains()).map(({ x, y }) => ({ x: x / 1000, y: Math.max(y, -200) })),
    },
  };
});

export interface CeilingCase {
  readonly name: string;
  /** True peaks in dBTP, before and after, and the second meter's reading of what comes out. */
  readonly before: number;
  readonly after: number;
  readonly annex2: number;
}

export const ceilingCases = once(
  async (): Promise<readonly CeilingCase[]> =>
    nastySignals().map(([name, signal]) => {
      const { left } = throughCeiling(RATE, signal, signal);
      return { name, before: toDb(truePeakOf(signal)), after: toDb(truePeakOf(left)), annex2: toDb(annex2Peak(left)) };
    }),
);

const ceiling: readonly Check[] = (
  [
    ['after', 'fine meter, 16 points a sample', works.bs1770peak],
    ['annex2', "the standard's own meter, 4 points a sample", works.bs1770peak],
  ] as const
).map(([key, meter, source]) => ({
  block: 'ceiling',
  title: `keeps everything at -1 dBTP within 0.05 dB (${meter})`,
  source,
  unit: 'dBTP',
  rows: nastySignals().map(([name]) => ({ name, published: -0.95, within: atMost })),
  measure: async () => (await ceilingCases()).map((one) => one[key]),
}));

export const output: Topic = {
  id: 'output',
  title: 'On the way out',
  say: 'Oversampled sound is decimated to the output rate; then the ceiling holds back what would pass -1 dBTP.',
  glance: (measured) => `ceiling: at most ${Math.max(...measured.slice(decimator.length).flat()).toFixed(2)} dBTP`,
  checks: [...decimator, ...ceiling],
};
