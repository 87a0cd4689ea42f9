import { decayTime, energyLevels } from '../../support/energyDecay.ts';
import { pluckedCents } from '../../support/pluckedString.ts';
import { publishedWords } from '../../support/publishedTable.ts';
import { impulse } from '../../support/response.ts';
import { runKernel } from '../../support/runKernel.ts';
import { blockSpec, type Check, type Figure, ofBlock, once, type Point, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const RATE = 48000;

const strings: Figure = {
  title: 'Delay as a plucked string: tuning',
  say: 'A burst of noise one period long into a loop of one period, the pitch patched, tone 1; its fundamental over 0.7 s.',
  x: { title: 'frequency, Hz', log: true, from: 100, to: 1000 },
};

/** Every third note from A2 to A5. */
const notes = publishedWords('equal_temperament_a440')
  .slice(1)
  .map(([midi, name, hz]) => ({ midi: Number(midi), name: name ?? '', hz: Number(hz) }))
  .filter(({ midi }) => midi >= 45 && midi <= 81 && midi % 3 === 0);

const string = ofBlock('delay', (spec): readonly Check[] =>
  [0.99, 0.999].map((feedback) => ({
    block: spec.type,
    title: `a plucked string is in tune, feedback ${feedback}`,
    source: works.string,
    unit: 'cents',
    rows: notes.map(({ name, hz }) => ({ name, x: hz, published: 0, within: 0.05 })),
    measure: async () => {
      const found: number[] = [];
      for (const { hz } of notes) found.push(await pluckedCents(spec, hz, { feedback, tone: 1 }));
      return found;
    },
    curve: { figure: strings, series: `feedback ${feedback}` },
  })),
);

const decays = [0.3, 0.5, 1, 2, 4] as const;
const rooms: Figure = {
  title: 'Reverb: time for 60 dB',
  say: 'T20 of the response to an impulse, both sides together, size 0.5, no damping.',
  x: { title: 'decay setting, s', log: true, from: 0.25, to: 5 },
  y: { title: 'measured, s', log: true, from: 0.25, to: 5 },
};

/** Level of what is still to come of an impulse, for each decay; none without the block. */
export const roomLevels = once(async (): Promise<readonly { readonly decay: number; readonly levels: Float64Array }[]> => {
  const spec = blockSpec('reverb');
  const all: { decay: number; levels: Float64Array }[] = [];
  for (const decay of spec ? decays : []) {
    const settings = { decay, size: 0.5, damping: 0, mix: 1 };
    const run = { frames: Math.round((1.2 * decay + 0.5) * RATE), settings, inputs: { left: impulse(5), right: impulse(5) } };
    if (spec) all.push({ decay, levels: energyLevels(Object.values(await runKernel(spec, run))) });
  }
  return all;
});

const room = ofBlock('reverb', (spec): readonly Check[] => [
  {
    block: spec.type,
    title: 'dies away by 60 dB within the set decay',
    source: works.backwards,
    unit: 's',
    rows: decays.map((decay) => ({ name: `${decay} s`, x: decay, published: decay, within: 0.05 * decay })),
    measure: async () => (await roomLevels()).map(({ levels }) => decayTime(levels, RATE)),
    curve: { figure: rooms, series: 'T20' },
  },
]);

/** Gain of two cells in a row with a light in them: conductance 1 / (A y^-1.4 + B) over a load, 1 when open. */
function cellGain(light: number): number {
  const conductance = (2.92 * light ** 1.4) / (light ** 1.4 + 1.92);
  return (3 * conductance) / (conductance + 2);
}
const decibels = (gain: number): number => 20 * Math.log10(gain);

const cellLaw: Figure = {
  title: 'Low-pass gate: light into gain',
  say: 'Steady light, amplifier mode.',
  x: { title: 'level', log: true, from: 0.01, to: 1 },
  y: { title: 'dB', from: -60, to: 2 },
};
const cellFall: Figure = {
  title: 'Low-pass gate: the fall from full light',
  say: 'Amplifier mode; y / (1 + 3 y) falls as a plain exponential of the decay, so that the fall is fast at first.',
  x: { title: 's', from: 0, to: 1.2 },
  y: { title: 'dB', from: -80, to: 2 },
};

const cell = ofBlock('lowpassGate', (spec): readonly Check[] => {
  const levels = [0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 1];
  const settled = async (level: number): Promise<number> => {
    const run = { frames: 2 * RATE, settings: { mode: 'amplifier', level, decay: 0.02 }, inputs: { in: 1 }, outputs: ['out'] };
    return decibels((await runKernel(spec, run)).out?.at(-1) ?? Number.NaN);
  };
  const law: Check = {
    block: spec.type,
    title: 'conducts as the cell of the model in steady light',
    source: works.lightCell,
    unit: 'dB',
    rows: levels.map((level) => ({ name: `level ${level}`, x: level, published: decibels(cellGain(level)), within: 0.002 })),
    measure: async () => Promise.all(levels.map(settled)),
    curve: { figure: cellLaw, series: 'measured' },
  };
  const off = 0.2 * RATE;
  const times = [0.01, 0.03, 0.06, 0.1, 0.2, 0.3, 0.45, 0.6, 0.8, 1, 1.2];
  return [
    law,
    ...[0.1, 0.25, 0.5].map((decay, i): Check => {
      const gain = once(async () => {
        const events = [{ frame: off, setting: 'level', value: 0 }];
        const run = { frames: off + 1.2 * RATE + 10, settings: { mode: 'amplifier', level: 1, decay }, inputs: { in: 1 }, events };
        return (await runKernel(spec, { ...run, outputs: ['out'] })).out as Float32Array;
      });
      const expected = (seconds: number): number => {
        const share = Math.exp(-seconds / decay) / 4;
        return decibels(cellGain(share / (1 - 3 * share)));
      };
      const at = (signal: Float32Array, seconds: number): number => decibels(signal[off - 1 + Math.round(seconds * RATE)] as number);
      return {
        block: spec.type,
        title: `falls from full light as the model, decay ${decay} s`,
        source: works.lightCell,
        unit: 'dB',
        rows: times.filter((t) => t <= 5 * decay).map((t) => ({ name: `${t} s`, x: t, published: expected(t), within: 0.01 })),
        measure: async () => {
          const signal = await gain();
          return times.filter((t) => t <= 5 * decay).map((t) => at(signal, t));
        },
        curve: {
          figure: cellFall,
          series: `decay ${decay} s`,
          look: i + 1,
          trace: async () => {
            const signal = await gain();
            return Array.from({ length: 121 }, (_, k): Point => ({ x: k / 100, y: at(signal, k / 100) }));
          },
        },
      };
    }),
  ];
});

export const space: Topic = {
  id: 'space',
  title: 'Strings, rooms and light',
  say: 'A delay in tune, a room that lasts as long as it says, and the light cell of the low-pass gate.',
  checks: [...string, ...room, ...cell],
};
