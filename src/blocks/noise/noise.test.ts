// @vitest-environment node
/** Colours and distribution against published laws: tests/published/topics/noise.ts and chance.ts. */
import { describe, expect, it } from 'vitest';
import { rmsOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { blockSeed } from '../../engine/plan/seed.ts';
import { correlation } from '../../measure/statistics.ts';
import { thirdOctaves } from '../../measure/thirdOctaves.ts';
import { spec } from './spec.ts';

const colours = ['white', 'pink', 'red'] as const;

describe('white', () => {
  it('is SplitMix64 (Steele, Lea, Flood 2014), whose first draws from seed 1234567 are known', async () => {
    const mask = (1n << 64n) - 1n;
    const scramble = (value: bigint): bigint => {
      let z = value & mask;
      z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & mask;
      z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & mask;
      return z ^ (z >> 31n);
    };
    const golden = 0x9e3779b97f4a7c15n;
    const draw = (stream: bigint, n: number): bigint => scramble(stream + BigInt(n + 1) * golden);
    // values printed with many implementations of the generator
    expect([0, 1, 2].map((n) => draw(1234567n, n))).toEqual([6457827717110365317n, 3203168211198807973n, 9817491932198370423n]);
    const stream = scramble(blockSeed(7, 'hiss') + scramble(golden));
    const { white } = await runKernel(spec, { frames: 100, seed: 7, id: 'hiss' });
    const volts = (n: number): number => 5 * (Number(BigInt.asIntN(64, draw(stream, n)) >> 11n) / 2 ** 52);
    expect(worst(100, (n) => white![n]! - volts(n))).toBeLessThan(1e-6);
  });
});

describe('colour', () => {
  it('pink and red are as strong as white, from the first hundredth of a second on', async () => {
    const frames = 40 * 48000;
    const out = await runKernel(spec, { frames });
    expect(rmsOf(out.white!)).toBeCloseTo(5 / Math.sqrt(3), 2);
    for (const colour of ['pink', 'red'] as const) {
      expect(Math.abs(20 * Math.log10(rmsOf(out[colour]!) / rmsOf(out.white!))), colour).toBeLessThan(0.3);
    }
    let [pink, red] = [0, 0];
    for (let seed = 1; seed <= 40; seed++) {
      const start = await runKernel(spec, { frames: 480, seed });
      pink += rmsOf(start.pink!) ** 2 / 40;
      red += rmsOf(start.red!) ** 2 / 40;
    }
    expect(Math.abs(10 * Math.log10((pink * 3) / 25))).toBeLessThan(1);
    expect(Math.abs(10 * Math.log10((red * 3) / 25))).toBeLessThan(2);
  });

  it('the three share nothing: uncorrelated, and the same whichever are read', async () => {
    const all = await runKernel(spec, { frames: 48000 });
    expect(Math.abs(correlation(all.white!, all.pink!))).toBeLessThan(0.022);
    expect(Math.abs(correlation(all.white!, all.red!))).toBeLessThan(0.022);
    for (const colour of colours) {
      const alone = await runKernel(spec, { frames: 5000, outputs: [colour] });
      expect(alone[colour]).toEqual(all[colour]!.slice(0, 5000));
    }
  });
});

it('depends on seed and id alone', async () => {
  const run = (seed: number, id: string) => runKernel(spec, { frames: 2000, seed, id });
  const first = await run(1, 'a');
  expect(await run(1, 'a')).toEqual(first);
  for (const other of [await run(2, 'a'), await run(1, 'b')]) {
    for (const colour of colours) expect(Math.abs(correlation(other[colour]!, first[colour]!))).not.toBe(1);
    expect(Math.abs(correlation(other.white!, first.white!))).toBeLessThan(0.1);
  }
});

describe.each([2, 4, 8] as const)('at quality %i', (quality) => {
  it('has the same values on the output frames', async () => {
    const one = await runKernel(spec, { frames: 2000 });
    const more = await runKernel(spec, { frames: 2000 * quality, quality });
    for (const colour of colours) {
      expect(
        worst(2000, (n) => more[colour]![n * quality]! - one[colour]![n]!),
        colour,
      ).toBe(0);
    }
  });

  it('has the same level in the audio band, within 0.02 dB per third octave to 16 kHz', async () => {
    const seconds = 4;
    const one = await runKernel(spec, { frames: 48000 * seconds });
    const more = await runKernel(spec, { frames: 48000 * seconds * quality, quality });
    for (const colour of colours) {
      const [a, b] = [thirdOctaves(one[colour]!, 48000, 100, 16000), thirdOctaves(more[colour]!, 48000 * quality, 100, 16000)];
      // the analyser's amplitudes do not depend on the rate for the same length in seconds
      const offset = b[0]!.db - a[0]!.db;
      expect(Math.abs(offset)).toBeLessThan(0.02);
      expect(
        worst(a.length, (i) => b[i]!.db - a[i]!.db),
        colour,
      ).toBeLessThan(0.02);
    }
  });
});
