// @vitest-environment node
/** Distribution of what it draws: tests/published/topics/chance.ts. */
import { describe, expect, it } from 'vitest';
import { clockSignal, gateSignal } from '../../../tests/support/edges.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { runPatch } from '../../../tests/support/runPatch.ts';
import { spec } from './spec.ts';

const ramp = (frame: number): number => frame / 1000;

describe('sample', () => {
  it('takes the input on the exact frame of the edge and holds it, starting from 0 V', async () => {
    const trigger = gateSignal([5, 6], [130, 400], [401, 402], [511, 600]);
    const { out } = await runKernel(spec, { frames: 700, inputs: { in: ramp, trigger } });
    for (let n = 0; n < 700; n++) {
      const edge = n < 5 ? 0 : n < 130 ? 5 : n < 401 ? 130 : n < 511 ? 401 : 511;
      expect(out![n], `frame ${n}`).toBe(Math.fround(ramp(edge)));
    }
  });

  it('sees an edge at 1.5 V and is armed again below 1.0 V', async () => {
    const volts = [0, 1.49, 1.5, 1.2, 3, 1.0, 8, 0.99, 1.4, 1.5, 0];
    const { out } = await runKernel(spec, { frames: volts.length, inputs: { in: (n) => n + 1, trigger: Float32Array.from(volts) } });
    expect([...out!]).toEqual([0, 0, 3, 3, 3, 3, 3, 3, 3, 10, 10]);
  });

  it('a trigger that is high on frame 0 is an edge there; an unpatched one never is', async () => {
    expect([...(await runKernel(spec, { frames: 3, inputs: { in: ramp, trigger: 8 } })).out!]).toEqual([0, 0, 0]);
    expect([...(await runKernel(spec, { frames: 3, inputs: { in: 4, trigger: 8 } })).out!]).toEqual([4, 4, 4]);
    expect([...(await runKernel(spec, { frames: 300, inputs: { in: 4 } })).out!]).toEqual(new Array(300).fill(0));
  });

  it('two in a row on one clock both see the new value on that frame', () => {
    const patch = {
      seed: 1,
      blocks: [
        { id: 'first', type: 'sampleHold' },
        { id: 'second', type: 'sampleHold' },
      ],
      cables: [{ from: ['first', 'out'], to: ['second', 'in'] }],
    } as const;
    const clock = clockSignal(50);
    const feeds = { 'first.in': ramp, 'first.trigger': clock, 'second.trigger': clock };
    const { out } = runPatch(patch, { frames: 400, feeds, outputs: ['first.out', 'second.out'] });
    expect(out['second.out']).toEqual(out['first.out']);
    expect(out['first.out']![399]).toBe(Math.fround(0.35));
  });
});

describe('track', () => {
  it('follows while the trigger is high, from its edge on, and keeps the last value until the next', async () => {
    const trigger = gateSignal([10, 200], [300, 301]);
    const { out } = await runKernel(spec, { frames: 400, settings: { mode: 'track' }, inputs: { in: ramp, trigger } });
    for (let n = 0; n < 400; n++) {
      const from = n < 10 ? 0 : n < 200 ? n : n < 300 ? 199 : 300;
      expect(out![n], `frame ${n}`).toBe(Math.fround(n < 10 ? 0 : ramp(from)));
    }
  });

  it('keeps following down to 1.0 V', async () => {
    const volts = [8, 1.2, 1.0, 0.99, 8];
    const { out } = await runKernel(spec, {
      frames: 5,
      settings: { mode: 'track' },
      inputs: { in: (n) => n + 1, trigger: Float32Array.from(volts) },
    });
    expect([...out!]).toEqual([1, 2, 3, 3, 5]);
  });
});

describe('without a cable at its input', () => {
  const steps = async (quality: 1 | 4, seed = 1): Promise<Float32Array> => {
    const interval = 8 * quality;
    const { out } = await runKernel(spec, { frames: 10000 * interval, quality, seed, inputs: { trigger: clockSignal(interval) } });
    return Float32Array.from({ length: 10000 }, (_, i) => out![i * interval]!);
  };

  it('takes the same voltages at every quality, others with another seed', async () => {
    const one = await steps(1);
    expect(await steps(4)).toEqual(one);
    expect(await steps(1, 2)).not.toEqual(one);
  });
});
