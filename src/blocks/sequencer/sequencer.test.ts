// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

/** Frames between clocks, and how long a clock is high. */
const INTERVAL = 1200;
const HIGH = 100;
const clock = clockSignal(INTERVAL, 0, HIGH);
const row = (...pitches: number[]) => pitches.map((pitch) => ({ pitch }));

type Settings = NonNullable<KernelRun['settings']>;
type Steps = readonly Readonly<Record<string, number | boolean>>[];

function run(settings: Settings, clocks: number, more: Partial<KernelRun> = {}) {
  return runKernel(spec, { frames: clocks * INTERVAL, settings, ...more, inputs: { clock, ...more.inputs } });
}

/** The pitch of each clock's step as a step number, where step k stands at k / 12 V. */
async function order(settings: Settings, clocks: number, more: Partial<KernelRun> = {}): Promise<{ steps: number[]; ends: number[] }> {
  const length = Number(settings.length);
  const steps = Array.from({ length }, (_, k) => ({ pitch: (k + 1) / 12 }));
  const { pitch, stepEnd } = await run({ ...settings, steps }, clocks, more);
  return {
    steps: Array.from({ length: clocks }, (_, k) => Math.round(pitch![k * INTERVAL + 600]! * 12)),
    ends: rises(stepEnd!).map((n) => n / INTERVAL + 1),
  };
}

describe('order of the steps', () => {
  it('forward', async () => {
    expect(await order({ length: 3 }, 8)).toEqual({ steps: [1, 2, 3, 1, 2, 3, 1, 2], ends: [4, 7] });
  });
  it('reverse', async () => {
    expect(await order({ length: 3, direction: 'reverse' }, 8)).toEqual({ steps: [1, 3, 2, 1, 3, 2, 1, 3], ends: [2, 5, 8] });
  });
  it('back and forth, the ends once', async () => {
    expect(await order({ length: 4, direction: 'pendulum' }, 13)).toEqual({
      steps: [1, 2, 3, 4, 3, 2, 1, 2, 3, 4, 3, 2, 1],
      ends: [7, 13],
    });
  });
  it('back and forth with one and with two steps', async () => {
    expect((await order({ length: 1, direction: 'pendulum' }, 3)).steps).toEqual([1, 1, 1]);
    expect((await order({ length: 2, direction: 'pendulum' }, 4)).steps).toEqual([1, 2, 1, 2]);
  });
  it('random: every step comes, the same for one seed, another for another', async () => {
    const settings = { length: 5, direction: 'random' };
    const one = await order(settings, 300);
    expect(one.steps[0]).toBe(1);
    for (let step = 1; step <= 5; step++) expect(one.steps.filter((each) => each === step).length).toBeGreaterThan(35); // 60 expected, sigma 6.9
    expect(one.ends.slice(0, 3)).toEqual([6, 11, 16]);
    expect((await order(settings, 300)).steps).toEqual(one.steps);
    expect((await order(settings, 300, { seed: 2 })).steps).not.toEqual(one.steps);
    expect((await order(settings, 300, { id: 'other' })).steps).not.toEqual(one.steps);
  });
  it('the direction input turns it round while it is high', async () => {
    const inputs = { direction: gateSignal([3.5 * INTERVAL, 6.5 * INTERVAL]) };
    expect((await order({ length: 5 }, 9, { inputs })).steps).toEqual([1, 2, 3, 4, 3, 2, 1, 2, 3]);
    expect((await order({ length: 5, direction: 'reverse' }, 5, { inputs })).steps).toEqual([1, 5, 4, 3, 4]);
  });
  it('steps left out are C4 with a gate', async () => {
    const { pitch, gate } = await run({ length: 2, steps: row(1) }, 4);
    expect(pitch![INTERVAL + 1]).toBe(0);
    expect(rises(gate!)).toHaveLength(4);
  });
});

describe('before the first clock and after a reset', () => {
  const settings = {
    length: 4,
    steps: [
      { pitch: 1, extra: 2 },
      { pitch: 2, extra: 3 },
      { pitch: 3, extra: 4 },
    ],
  };

  it('stands ahead of step 1 with everything low', async () => {
    const out = await runKernel(spec, { frames: 1000, settings, inputs: { clock: clockSignal(5000, 700), transpose: 1 } });
    for (const id of ['pitch', 'gate', 'trigger', 'extra', 'stepEnd'])
      expect(out[id]!.subarray(0, 700).every((volts) => volts === 0)).toBe(true);
    expect([out.pitch![700], out.gate![700], out.trigger![700], out.extra![700]]).toEqual([2, 8, 8, 2]);
  });

  it('the next clock plays step 1', async () => {
    const { pitch, gate, extra } = await run(settings, 5, { inputs: { reset: gateSignal([2 * INTERVAL + 300, 2 * INTERVAL + 400]) } });
    expect(pitch![2 * INTERVAL + 299]).toBe(3);
    expect([pitch![2 * INTERVAL + 300], gate![2 * INTERVAL + 300], extra![2 * INTERVAL + 300]]).toEqual([0, 0, 0]);
    expect(pitch![3 * INTERVAL]).toBe(1);
    expect(pitch![4 * INTERVAL]).toBe(2);
  });

  it('reset and clock on one frame play step 1', async () => {
    const { pitch, stepEnd } = await run(settings, 4, { inputs: { reset: gateSignal([2 * INTERVAL, 2 * INTERVAL + 50]) } });
    expect([0, 1, 2, 3].map((k) => pitch![k * INTERVAL])).toEqual([1, 2, 1, 2]);
    expect(rises(stepEnd!)).toEqual([]);
  });
});

describe('gates', () => {
  it('last gateLength of the interval; the first as long as the clock, as nothing is known yet', async () => {
    const { gate, trigger } = await run({ length: 2, gateLength: 0.3 }, 3);
    expect([rises(gate!), falls(gate!)]).toEqual([
      [0, 1200, 2400],
      [100, 1560, 2760],
    ]);
    expect([rises(trigger!), falls(trigger!)]).toEqual([
      [0, 1200, 2400],
      [48, 1248, 2448],
    ]);
  });

  it('a full gate length joins the steps, each still gives its trigger', async () => {
    const { gate, trigger } = await run({ length: 2, gateLength: 1 }, 5);
    expect(rises(gate!)).toEqual([0, 1200]);
    expect(rises(trigger!)).toEqual([0, 1200, 2400, 3600, 4800]);
  });

  it('a step without gate is silent but sets its voltages', async () => {
    const { gate, trigger, pitch } = await run({ length: 2, steps: [{}, { gate: false, pitch: 1 }] }, 4);
    expect(rises(gate!)).toEqual([0, 2400]);
    expect(rises(trigger!)).toEqual([0, 2400]);
    expect(pitch![1200]).toBe(1);
  });

  it('a tie keeps the gate high into the next step, which gives no trigger', async () => {
    const steps: Steps = [{ pitch: 1 }, { pitch: 2, tie: true }, { pitch: 3 }, { pitch: 4 }];
    const { gate, trigger, pitch } = await run({ length: 4, steps }, 5);
    expect(rises(gate!)).toEqual([0, 1200, 3600, 4800]);
    expect(falls(gate!)).toEqual([100, 3000, 4200, 5400]);
    expect(rises(trigger!)).toEqual([0, 1200, 3600, 4800]);
    expect(pitch![2400]).toBe(3);
  });

  it('a tie into a step without gate ends there', async () => {
    const { gate } = await run({ length: 3, steps: [{}, { tie: true }, { gate: false }] }, 3);
    expect([rises(gate!), falls(gate!)]).toEqual([
      [0, 1200],
      [100, 2400],
    ]);
  });

  it('repeats strike evenly within the step, on rounded frames', async () => {
    const { gate, trigger } = await runKernel(spec, {
      frames: 4000,
      settings: { length: 2, steps: [{}, { repeats: 3 }] },
      inputs: { clock: clockSignal(1000, 0, 100) },
    });
    expect(rises(gate!)).toEqual([0, 1000, 1333, 1667, 2000, 3000, 3333, 3667]);
    expect(falls(gate!).slice(1, 4)).toEqual([1167, 1500, 1833]);
    expect(rises(trigger!)).toEqual(rises(gate!));
  });

  it('repeats of a tied step: the last one is held; repeats after a tie: the first gives no trigger', async () => {
    const steps: Steps = [{}, { repeats: 2, tie: true }, { repeats: 2 }];
    const { gate, trigger } = await run({ length: 3, steps }, 3);
    expect(rises(gate!)).toEqual([0, 1200, 1800, 3000]);
    expect(falls(gate!)).toEqual([100, 1500, 2700, 3300]);
    expect(rises(trigger!)).toEqual([0, 1200, 1800, 3000]);
  });
});

it('chance decides each step anew, about as often as it says', async () => {
  const steps: Steps = [{ chance: 0.3 }, { chance: 0, pitch: 1 }];
  const { gate, pitch } = await run({ length: 2, steps }, 800);
  const hits = rises(gate!);
  expect(hits.every((n) => n % (2 * INTERVAL) === 0)).toBe(true);
  expect(Math.abs(hits.length - 120)).toBeLessThan(37); // 400 draws, sigma 9.2: four sigma
  expect(pitch![INTERVAL]).toBe(1);
  // the luck of one step does not depend on the chance of another
  const { gate: other } = await run({ length: 2, steps: [{ chance: 0.3 }, {}] }, 800);
  expect(rises(other!).filter((n) => n % (2 * INTERVAL) === 0)).toEqual(hits);
});

it('glide slides in a straight line to each new step, but not into the first', async () => {
  const { pitch } = await run({ length: 2, glide: 0.0125, steps: row(1, -1) }, 2);
  expect(pitch![0]).toBe(1);
  expect(worst(INTERVAL, (n) => pitch![INTERVAL + n]! - Math.max(1 - (2 * n) / 600, -1))).toBeLessThan(1e-6);
});

it('transpose is added frame by frame, within the rails', async () => {
  const transpose = (n: number): number => Math.sin(n * 0.02) * 5;
  const { pitch } = await run({ length: 1, steps: row(9) }, 1, { inputs: { transpose } });
  expect(worst(INTERVAL, (n) => pitch![n]! - Math.min(9 + transpose(n), 12))).toBeLessThan(1e-5);
});
