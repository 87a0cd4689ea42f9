// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const INTERVAL = 100;
const FRAMES = 12 * INTERVAL;
const clock = clockSignal(INTERVAL, 40);
const wave = (k: number) => (n: number) => Math.fround(k + Math.sin(n / (3 + k)));
const waves = Object.fromEntries(Array.from({ length: 8 }, (_, k) => [`in${k + 1}`, wave(k)]));
const gates = [1, 2, 3, 4, 5, 6, 7, 8].map((k) => `active${k}`);

const run = (steps: number, more: Partial<KernelRun> = {}) =>
  runKernel(spec, { frames: FRAMES, ...more, settings: { steps, ...more.settings }, inputs: { clock, ...more.inputs } });

describe('by the clock', () => {
  it.each([1, 2, 3, 5, 8])('passes %i inputs in turn, from the frame of each edge', async (steps) => {
    const { out } = await run(steps, { inputs: waves });
    const step = (n: number): number => (n < 40 ? 0 : Math.floor((n - 40) / INTERVAL) % steps);
    expect(worst(FRAMES, (n) => out![n]! - wave(step(n))(n))).toBe(0);
  });

  it('the gate of the chosen input is high, one at a time', async () => {
    const out = await run(3);
    expect(gates.slice(0, 4).map((id) => [rises(out[id]!), falls(out[id]!)])).toEqual([
      [
        [40, 340, 640, 940],
        [140, 440, 740, 1040],
      ],
      [
        [140, 440, 740, 1040],
        [240, 540, 840, 1140],
      ],
      [
        [240, 540, 840, 1140],
        [340, 640, 940],
      ],
      [[], []],
    ]);
  });

  it('passes In 1 with all gates low before the first clock and after a reset; the next clock chooses In 1', async () => {
    const out = await run(4, { inputs: { ...waves, reset: gateSignal([300, 320]) } });
    for (const n of [0, 39, 300, 339]) {
      expect(out.out![n]).toBe(wave(0)(n));
      for (const id of gates) expect(out[id]![n]).toBe(0);
    }
    expect([40, 299, 340, 440].map((n) => gates.findIndex((id) => out[id]![n] === 8) + 1)).toEqual([1, 3, 1, 2]);
  });

  it('reset and clock on one frame choose In 1', async () => {
    const out = await run(4, { inputs: { reset: gateSignal([340, 350]) } });
    expect([240, 340, 440].map((n) => gates.findIndex((id) => out[id]![n] === 8) + 1)).toEqual([3, 1, 2]);
  });
});

describe('an input without a cable', () => {
  it('rests at its own volts', async () => {
    const { out } = await run(4, { settings: { volts1: -10, volts2: 2.5, volts3: 10 }, inputs: { in4: wave(4) } });
    expect([0, 40, 140, 240, 340].map((n) => out![n])).toEqual([-10, -10, 2.5, 10, wave(4)(340)]);
  });

  it('glides in a straight line when its setting is moved, and a cable takes no notice', async () => {
    const events = [1, 2].map((k) => ({ frame: 150, setting: `volts${k}`, value: 4, glide: 80 }));
    const { out } = await run(2, { inputs: { in1: 1 }, events });
    expect(worst(80, (k) => out![150 + k]! - (4 * k) / 80)).toBeLessThan(1e-6);
    expect([230, 239, 240, 339].map((n) => out![n])).toEqual([4, 4, 1, 1]);
  });
});

describe('by an address', () => {
  it.each([1, 2, 3, 4, 5, 6, 7, 8])('0 to 8 V run over %i steps in equal parts', async (steps) => {
    const address = (n: number): number => -2 + n / 64; // exact in binary
    const out = await run(steps, { frames: 800, inputs: { ...waves, address } });
    const step = (n: number): number => Math.min(steps - 1, Math.max(0, Math.floor((address(n) * steps) / 8)));
    expect(worst(800, (n) => out.out![n]! - wave(step(n))(n))).toBe(0);
    expect(worst(800, (n) => gates.findIndex((id) => out[id]![n] === 8) - step(n))).toBe(0);
  });

  it('takes the place of clock and reset', async () => {
    const { out } = await run(4, { inputs: { ...waves, reset: gateSignal([500, 600]), address: 5 } });
    expect(worst(FRAMES, (n) => out![n]! - wave(2)(n))).toBe(0);
  });
});
