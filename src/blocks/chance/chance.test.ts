// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { autocorrelation } from '../../measure/statistics.ts';
import { spec } from './spec.ts';

const INTERVAL = 10;
const clock = clockSignal(INTERVAL, 3, 4);

const run = (gates: number, settings: KernelRun['settings'], more: Partial<KernelRun> = {}) =>
  runKernel(spec, { frames: gates * INTERVAL, settings: settings ?? {}, ...more, inputs: { in: clock, ...more.inputs } });

describe('the lot', () => {
  it.each([0.1, 0.5, 0.85])('share %d of the gates goes to A, within five standard deviations, and without memory', async (chance) => {
    const gates = 10000;
    const { a } = await run(gates, { chance });
    const lots = Float32Array.from({ length: gates }, (_, k) => (a![k * INTERVAL + 3]! > 1 ? 1 : 0));
    const share = lots.reduce((sum, lot) => sum + lot, 0) / gates;
    expect(Math.abs(share - chance)).toBeLessThan(5 * Math.sqrt((chance * (1 - chance)) / gates)); // binomial distribution
    for (const lag of [1, 2, 3]) expect(Math.abs(autocorrelation(lots, lag))).toBeLessThan(5 / Math.sqrt(gates));
  });

  it('0 sends every gate to B, 1 every gate to A', async () => {
    const never = await run(1000, { chance: 0 });
    expect([rises(never.a!).length, rises(never.b!).length]).toEqual([0, 1000]);
    const always = await run(1000, { chance: 1 });
    expect([rises(always.a!).length, rises(always.b!).length]).toEqual([1000, 0]);
  });

  it.each([
    [0, 1, 8, 1],
    [0.5, 0.5, 4, 0.75],
    [0.5, -1, 2, 0.25],
    [0.9, 1, 8, 1],
    [0.1, 1, -8, 0],
  ])('chance %d and amount %d with %d V at the CV make %d', async (chance, chanceAmount, volts, expected) => {
    const gates = 4000;
    const { a } = await run(gates, { chance, chanceAmount }, { inputs: { chanceCv: volts } });
    const sigma = Math.sqrt((expected * (1 - expected)) / gates);
    expect(Math.abs(rises(a!).length / gates - expected)).toBeLessThanOrEqual(5 * sigma);
  });

  it('is the same for one seed and block, another for another', async () => {
    const { a } = await run(200, {});
    expect((await run(200, {})).a).toEqual(a);
    expect((await run(200, {}, { seed: 2 })).a).not.toEqual(a);
    expect((await run(200, {}, { id: 'other' })).a).not.toEqual(a);
  });
});

describe('the gate', () => {
  it('comes out at 8 V on one side, whole, on its own frames', async () => {
    const { a, b } = await run(500, {}, { inputs: { in: (n: number) => clock(n) / 4 } });
    for (let n = 0; n < 5000; n++) expect(a![n]! + b![n]!, `frame ${n}`).toBe(clock(n));
    const all = [...rises(a!), ...rises(b!)].sort((x, y) => x - y);
    expect(all).toEqual(Array.from({ length: 500 }, (_, k) => 3 + k * INTERVAL));
    for (const side of [a!, b!]) expect(falls(side)).toEqual(rises(side).map((n) => n + 4));
  });

  it('is decided on the edge: a chance that changes while it is high does not move it', async () => {
    const { a, b } = await run(
      50,
      { chance: 0, chanceAmount: 1 },
      {
        inputs: { in: gateSignal([10, 200], [300, 400]), chanceCv: (n: number) => (n >= 11 && n < 300 ? 8 : 0) },
      },
    );
    expect([rises(a!), rises(b!), falls(b!)]).toEqual([[], [10, 300], [200, 400]]);
  });

  it('never comes without a cable', async () => {
    const { a, b } = await runKernel(spec, { frames: 200 });
    expect([rises(a!), rises(b!)]).toEqual([[], []]);
  });
});
