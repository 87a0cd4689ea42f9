// @vitest-environment node
/** Curves of a charging capacitor: tests/published/topics/capacitors.ts. */
import { describe, expect, it } from 'vitest';
import { falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const PEAK = 8;

/** s(u) as catalogued: (1 - e^(-k u)) / (1 - e^(-k)). */
const shape = (k: number, u: number): number => (k === 0 ? u : Math.expm1(-k * u) / Math.expm1(-k));
const unshape = (k: number, y: number): number => (k === 0 ? y : -Math.log1p(y * Math.expm1(-k)) / k);

describe('attack and decay', () => {
  const cases = [
    { sampleRate: 48000, attack: 0.01, decay: 0.3 },
    { sampleRate: 44100, attack: 0.0123, decay: 0.1007 },
    { sampleRate: 48000, attack: 0.0003, decay: 0.0003 },
    { sampleRate: 8000, attack: 0.5, decay: 1.23456 },
  ];
  it.each(cases)(
    'peak, end and triggers on their exact frames ($attack s, $decay s, $sampleRate Hz)',
    async ({ sampleRate, attack, decay }) => {
      const e = 100;
      const top = e + Math.round(attack * sampleRate);
      const end = e + Math.round((attack + decay) * sampleRate);
      const ms = Math.round(0.001 * sampleRate);
      const { contour, inverted, attackEnd, cycleEnd } = await runKernel(spec, {
        sampleRate,
        frames: end + 300,
        settings: { attack, decay },
        inputs: { gate: gateSignal([e, e + ms]) },
      });
      expect(contour!.subarray(0, e + 1).every((volts) => volts === 0)).toBe(true);
      expect(contour![top]).toBe(PEAK);
      expect(contour![top - 1]).toBeLessThan(PEAK);
      expect(contour![end]).toBe(0);
      expect(contour![end - 1]).toBeGreaterThan(0);
      expect([rises(attackEnd!), falls(attackEnd!)]).toEqual([[top], [end]]);
      expect([rises(cycleEnd!), falls(cycleEnd!)]).toEqual([[end], [end + ms]]);
      expect(worst(contour!.length, (n) => inverted![n]! + contour![n]! - PEAK)).toBeLessThan(1e-6);
    },
  );

  it.each([-1, -0.6, -0.25, -1e-6, 0, 1e-9, 0.5, 1])('follows the shape at curve %f', async (curve) => {
    const [attack, decay, rate] = [0.1, 0.2, 48000];
    const { contour } = await runKernel(spec, { frames: 15000, settings: { attack, decay, curve }, inputs: { gate: gateSignal([0, 50]) } });
    expect(worst(4800, (n) => contour![n]! - PEAK * shape(-1.5 * curve, n / (attack * rate)))).toBeLessThan(1e-6);
    expect(worst(9600, (n) => contour![4800 + n]! - PEAK * (1 - shape(-5 * curve, n / (decay * rate))))).toBeLessThan(1e-6);
  });

  // envelope_attack_target.csv: an RC attack that aims at `target_ratio` x peak and ends at the peak
  it.each(publishedTable('envelope_attack_target').filter((row) => row.duration_over_tau! <= 1.5))(
    'passes half of the peak where an RC attack aiming at $target_ratio x peak does',
    async (row) => {
      const rate = 48000;
      const curve = -row.duration_over_tau! / 1.5;
      const { contour } = await runKernel(spec, { frames: rate, settings: { attack: 1, curve }, inputs: { gate: 8 } });
      const half = contour!.findIndex((volts) => volts >= PEAK / 2);
      expect(half / rate).toBeCloseTo(row.half_point_fraction!, 4);
    },
  );
});

describe('a new gate or a retrigger', () => {
  const settings = { attack: 0.1, decay: 0.2, curve: -0.6 };
  it.each(['gate', 'retrigger'])('by %s attacks from the present level: no jump, and the shorter way takes less time', async (input) => {
    const again = 9000;
    const inputs = {
      gate: gateSignal([0, 48], ...(input === 'gate' ? [[again, again + 48] as const] : [])),
      ...(input === 'retrigger' ? { retrigger: gateSignal([again, again + 48]) } : {}),
    };
    const { contour, attackEnd } = await runKernel(spec, { frames: 16000, settings, inputs });
    const level = 1 - shape(3, (again - 4800) / 9600);
    expect(contour![again]).toBeCloseTo(PEAK * level, 5);
    const top = again + Math.round((1 - unshape(0.9, level)) * 4800);
    expect(contour![top]).toBe(PEAK);
    expect(rises(attackEnd!)).toEqual([4800, top]);
    expect(falls(attackEnd!)[0]).toBe(again);
    let most = 0;
    for (let n = 1; n < 16000; n++) most = Math.max(most, Math.abs(contour![n]! - contour![n - 1]!));
    expect(most).toBeLessThan((PEAK * 3.2) / 9600); // the steepest part of the decay
  });

  it('retrigger counts for sustaining shapes only while the gate is high', async () => {
    const retrigger = gateSignal([2000, 2048], [12000, 12048]);
    const run = {
      frames: 14000,
      settings: { ...settings, shape: 'asr', attack: 0.01 },
      inputs: { gate: gateSignal([100, 6000]), retrigger },
    };
    const { attackEnd } = await runKernel(spec, run);
    expect(rises(attackEnd!)).toEqual([580]); // at the peak already, it is there at once
    const { attackEnd: ad } = await runKernel(spec, { ...run, settings: { ...run.settings, shape: 'ad', decay: 0.05 } });
    expect(rises(ad!)).toHaveLength(3);
  });
});

describe('sustaining shapes', () => {
  it('adsr waits at the sustain level and releases for its full time when the gate falls', async () => {
    const [attack, decay, sustain, release] = [0.01, 0.05, 0.3, 0.1];
    const off = 9000;
    const { contour, attackEnd, cycleEnd } = await runKernel(spec, {
      frames: 16000,
      settings: { shape: 'adsr', attack, decay, sustain, release },
      inputs: { gate: gateSignal([0, off]) },
    });
    expect(contour![480]).toBe(PEAK);
    expect(contour![2880]).toBeCloseTo(PEAK * sustain, 6);
    expect(contour!.subarray(2880, off + 1).every((volts) => volts === contour![2880])).toBe(true);
    expect(contour![off + 2400]).toBeCloseTo(PEAK * sustain * (1 - shape(3, 0.5)), 5);
    expect(contour![off + 4800]).toBe(0);
    expect(contour![off + 4799]).toBeGreaterThan(0);
    expect(rises(cycleEnd!)).toEqual([off + 4800]);
    expect([rises(attackEnd!), falls(attackEnd!)]).toEqual([[480], [off + 4800]]);
  });

  it('released during the attack, it turns round where it stands and attackEnd stays low', async () => {
    const { contour, attackEnd } = await runKernel(spec, {
      frames: 9000,
      settings: { shape: 'asr', attack: 0.1, release: 0.05 },
      inputs: { gate: gateSignal([0, 2400]) },
    });
    expect(contour![2400]).toBeCloseTo(PEAK * shape(0.9, 0.5), 5);
    expect(Math.max(...contour!)).toBe(contour![2400]);
    expect(contour![4800]).toBe(0);
    expect(rises(attackEnd!)).toEqual([]);
  });

  it('a gate that ends on the frame of the peak still gives the peak', async () => {
    const { contour, attackEnd } = await runKernel(spec, {
      frames: 4000,
      settings: { shape: 'asr', attack: 0.01, release: 0.01 },
      inputs: { gate: gateSignal([0, 480]) },
    });
    expect(contour![480]).toBe(PEAK);
    expect(contour![960]).toBe(0);
    expect(rises(attackEnd!)).toEqual([480]);
  });

  it('with sustain at 0 the cycle ends where the decay reaches 0, once', async () => {
    const { contour, cycleEnd } = await runKernel(spec, {
      frames: 20000,
      settings: { shape: 'adsr', attack: 0.01, decay: 0.01, sustain: 0, release: 0.1 },
      inputs: { gate: gateSignal([0, 5000]) },
    });
    expect(rises(cycleEnd!)).toEqual([960]);
    expect(contour!.subarray(960).every((volts) => volts === 0)).toBe(true);
  });

  it('the sustain level follows its setting while it waits', async () => {
    const { contour } = await runKernel(spec, {
      frames: 9000,
      settings: { shape: 'adsr', attack: 0.001, decay: 0.001, sustain: 0.5 },
      inputs: { gate: 8 },
      events: [{ frame: 5000, setting: 'sustain', value: 1, glide: 240 }],
    });
    expect(contour![5000]).toBe(4);
    expect(contour![5120]).toBeCloseTo(6, 4);
    expect(contour![5240]).toBe(8);
  });
});

describe('loop', () => {
  const times = { attack: 0.01003, decay: 0.02006 };
  it('on starts by itself and never drifts from round(k x cycle)', async () => {
    const rate = 44100;
    const { cycleEnd, attackEnd } = await runKernel(spec, {
      sampleRate: rate,
      frames: rate * 20,
      settings: { ...times, loop: 'on' },
      outputs: ['cycleEnd', 'attackEnd'],
    });
    const ends = rises(cycleEnd!);
    expect(ends).toHaveLength(Math.floor(20 / 0.03009));
    for (const [k, frame] of ends.entries()) expect(frame).toBe(Math.round((k + 1) * (times.attack + times.decay) * rate));
    for (const [k, frame] of rises(attackEnd!).entries())
      expect(frame).toBe(Math.round((k * (times.attack + times.decay) + times.attack) * rate));
  });

  it('on has no drift after half an hour at a low rate', async () => {
    const [rate, seconds] = [4000, 1800];
    const { cycleEnd } = await runKernel(spec, {
      sampleRate: rate,
      frames: rate * seconds,
      settings: { attack: 0.7, decay: 1.7001, loop: 'on' },
      outputs: ['cycleEnd'],
    });
    const ends = rises(cycleEnd!);
    expect(ends.at(-1)).toBe(Math.round(ends.length * 2.4001 * rate));
    expect(ends.length).toBe(Math.floor(seconds / 2.4001));
  });

  it('gated goes round while the gate is high and finishes its cycle', async () => {
    const { cycleEnd } = await runKernel(spec, {
      frames: 12000,
      settings: { attack: 0.01, decay: 0.01, loop: 'gated' },
      inputs: { gate: gateSignal([100, 3000]) },
    });
    expect(rises(cycleEnd!)).toEqual([1060, 2020, 2980, 3940]);
  });

  it('a looping adsr does not wait at the sustain level', async () => {
    const settings = { shape: 'adsr', attack: 0.01, decay: 0.01, release: 0.01, loop: 'on' };
    const { cycleEnd } = await runKernel(spec, { frames: 6000, settings, outputs: ['cycleEnd'] });
    expect(rises(cycleEnd!)).toEqual([1440, 2880, 4320, 5760]);
  });
});

describe('times under control voltage', () => {
  it('one volt at an amount of 0.5 doubles the time, at -0.5 halves it', async () => {
    for (const [amount, factor] of [
      [0.5, 2],
      [-0.5, 0.5],
    ] as const) {
      const { contour } = await runKernel(spec, {
        frames: 20000,
        settings: { attack: 0.1, decay: 0.05, attackAmount: amount },
        inputs: { gate: 8, attackCv: 1 },
      });
      expect(contour!.indexOf(PEAK)).toBe(4800 * factor);
    }
  });

  it('stays within 0.3 ms and 20 s', async () => {
    const { contour } = await runKernel(spec, {
      frames: 1000,
      settings: { attack: 0.1, attackAmount: 1 },
      inputs: { gate: 8, attackCv: -12 },
    });
    expect(contour!.indexOf(PEAK)).toBe(Math.round(0.0003 * 48000));
  });

  it('a voltage that changes on the way stretches the rest', async () => {
    const { contour } = await runKernel(spec, {
      frames: 12000,
      settings: { attack: 0.1, curve: 0 },
      inputs: { gate: 8, attackCv: (n) => (n < 2400 ? 0 : 1) },
    });
    expect(contour![2400]).toBeCloseTo(4, 5);
    expect(contour!.indexOf(PEAK)).toBe(2400 + 4800);
    expect(contour![4800]).toBeCloseTo(6, 4);
  });

  it('a steadily moving voltage follows the integral of speed', async () => {
    const cv = (n: number): number => n / 4800;
    const { contour } = await runKernel(spec, { frames: 20000, settings: { attack: 0.1, curve: 0 }, inputs: { gate: 8, attackCv: cv } });
    let u = 0;
    const integral = Array.from({ length: 4000 }, (_, n) => {
      const here = u;
      u += 2 ** -Math.fround(cv(n)) / 4800;
      return here;
    });
    expect(worst(4000, (n) => contour![n]! - PEAK * integral[n]!)).toBeLessThan(1e-5);
  });
});

it('without a gate it rests at 0 V', async () => {
  const { contour, inverted, attackEnd, cycleEnd } = await runKernel(spec, { frames: 500 });
  for (const [out, volts] of [
    [contour, 0],
    [inverted, 8],
    [attackEnd, 0],
    [cycleEnd, 0],
  ] as const)
    expect(out!.every((value) => value === volts)).toBe(true);
});
