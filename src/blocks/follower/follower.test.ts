// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { falls, rises } from '../../../tests/support/edges.ts';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const rate = 48000;
const sine =
  (hz: number, volts = 5) =>
  (n: number): number =>
    volts * Math.sin((2 * Math.PI * hz * n) / rate);

// Source: rc_step.csv, the curves of a capacitor.
describe.each(
  publishedTable('rc_step')
    .filter((row) => row.t_over_tau! > 0)
    .map((row) => [row.t_over_tau as number, row] as const),
)('after %f time constants', (ratio, row) => {
  it('an attack has come as far as the published charge, at every rate', async () => {
    for (const sampleRate of [44100, 96000]) {
      const attack = 0.02;
      const n = Math.round(ratio * attack * sampleRate);
      const { out } = await runKernel(spec, { sampleRate, frames: n, settings: { attack }, inputs: { in: -5 }, outputs: ['out'] });
      // to the nearest frame
      expect(Math.abs(out![n - 1]! - 8 * (row.charge as number))).toBeLessThan((8 * 0.5) / (attack * sampleRate) + 1e-5);
    }
  });

  it('a release has come as far as the published discharge', async () => {
    const [attack, release, settle] = [0.0003, 0.2, 600];
    const n = Math.round(ratio * release * rate);
    const inputs = { in: (frame: number) => (frame < settle ? 5 : 0) };
    const { out } = await runKernel(spec, { frames: settle + n, settings: { attack, release }, inputs, outputs: ['out'] });
    // Behind the attack's low-pass the fall is late by its time constant.
    const late = Math.exp(attack / release);
    expect(Math.abs(out![settle + n - 1]! - 8 * (row.discharge as number) * late)).toBeLessThan(
      8 * (row.discharge as number) * 2e-3 + 1e-6,
    );
  });
});

describe('level', () => {
  it.each([110, 440, 1244.51, 5000])('a sine of 5 V peak at %f Hz reads 8 V within 2 %%', async (hz) => {
    const { out } = await runKernel(spec, { frames: rate, inputs: { in: sine(hz) }, outputs: ['out'] });
    const late = out!.subarray(rate / 2);
    // Between two peaks the holder falls by at most the half period's share of the release.
    expect(Math.min(...late)).toBeGreaterThan(8 * (1 - 1 / (2 * hz) / 0.15));
    expect(Math.max(...late)).toBeLessThan(8.0001);
    expect(Math.min(...late)).toBeGreaterThan(8 * (hz < 200 ? 0.97 : 0.985));
  });

  it('is proportional to the peak, blind to the sign, and ends at the rail', async () => {
    for (const [volts, expected] of [
      [1, 1.6],
      [-2.5, 4],
      [7, 11.2],
      [-12, 12],
    ] as const) {
      const { out } = await runKernel(spec, { frames: 9600, inputs: { in: volts }, outputs: ['out'] });
      expect(out![9599]).toBeCloseTo(expected, 5);
    }
  });

  it('falls back to exactly 0 V in silence, and rests there from the start', async () => {
    const { out } = await runKernel(spec, {
      frames: 20000,
      settings: { release: 0.005 },
      inputs: { in: (n) => (n < 500 ? 5 : 0) },
      outputs: ['out'],
    });
    expect(out![19999]).toBe(0);
    const { out: still, gate } = await runKernel(spec, { frames: 300 });
    expect(worst(300, (n) => still![n]! + gate![n]!)).toBe(0);
  });
});

describe('gate', () => {
  it('rises at the threshold and falls 2 dB below it', async () => {
    const settings = { attack: 0.0003, release: 0.05, threshold: 2 };
    const { out, gate } = await runKernel(spec, {
      frames: 24000,
      settings,
      inputs: { in: (n) => (n >= 1000 && n < 6000 ? sine(500)(n) : 0) },
    });
    const up = out!.findIndex((volts) => volts >= 2);
    const down = 6000 + out!.subarray(6000).findIndex((volts) => volts < 1.6);
    expect([rises(gate!), falls(gate!)]).toEqual([[up], [down]]);
    expect(20 * Math.log10(1.6 / 2)).toBeCloseTo(-1.94, 2);
  });

  it('does not open for a sound below the threshold', async () => {
    const { gate } = await runKernel(spec, { frames: 24000, settings: { threshold: 1.5 }, inputs: { in: sine(440, 0.93) } });
    expect(rises(gate!)).toEqual([]);
    const louder = await runKernel(spec, { frames: 24000, settings: { threshold: 1.5 }, inputs: { in: sine(440, 0.96) } });
    expect(rises(louder.gate!)).toHaveLength(1);
  });
});
