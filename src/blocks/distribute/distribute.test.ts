// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const INTERVAL = 100;
const FRAMES = 12 * INTERVAL;
const clock = clockSignal(INTERVAL, 40);
const wave = (n: number): number => Math.fround(5 * Math.sin(n / 7));
const ids = spec.outputs.map(({ id }) => id);

type Run = Awaited<ReturnType<typeof runKernel>>;

function run(steps: number, inputs: KernelRun['inputs'], frames = FRAMES): Promise<Run> {
  return runKernel(spec, { frames, settings: { steps }, inputs: { in: wave, ...inputs } });
}

/** Which output carries the input at a frame (0 for none); throws if any other is not at 0 V. */
function carried(out: Run, n: number): number {
  const live = ids.filter((id) => out[id]![n] !== 0);
  if (live.length > 1) throw new Error(`${live.join(', ')} at frame ${n}`);
  return live.length === 0 ? 0 : Number(live[0]!.slice(3));
}

describe('by the clock', () => {
  it.each([1, 2, 3, 5, 8])('hands the input to %i outputs in turn, from the frame of each edge', async (steps) => {
    const out = await run(steps, { clock });
    const step = (n: number): number => Math.floor((n - 40) / INTERVAL) % steps;
    for (const [k, id] of ids.entries())
      expect(
        worst(FRAMES, (n) => out[id]![n]! - (n >= 40 && step(n) === k ? wave(n) : 0)),
        id,
      ).toBe(0);
  });

  it('is at 0 V everywhere before the first clock and after a reset; the next clock chooses Out 1', async () => {
    const out = await run(4, { in: 3, clock, reset: gateSignal([300, 320]) });
    expect([0, 39, 40, 140, 299, 300, 339, 340, 440].map((n) => carried(out, n))).toEqual([0, 0, 1, 2, 3, 0, 0, 1, 2]);
  });

  it('reset and clock on one frame choose Out 1', async () => {
    const out = await run(4, { in: 3, clock, reset: gateSignal([340, 350]) });
    expect([240, 340, 440].map((n) => carried(out, n))).toEqual([3, 1, 2]);
  });

  it('carries 8 V where nothing is patched to its input', async () => {
    const out = await runKernel(spec, { frames: FRAMES, inputs: { clock } });
    expect([out.out1![40], out.out1![139], out.out2![140], out.out1![140]]).toEqual([8, 8, 8, 0]);
  });

  it('a clock at both clock and input advances first, then passes: every pulse whole, each on the next output', async () => {
    const out = await run(3, { in: clock, clock });
    expect(ids.slice(0, 4).map((id) => rises(out[id]!))).toEqual([[40, 340, 640, 940], [140, 440, 740, 1040], [240, 540, 840, 1140], []]);
    expect(out.out2!.subarray(140, 190).every((volts) => volts === 8)).toBe(true);
  });

  it('fewer steps while it is beyond them: stays, then begins again', async () => {
    const out = await runKernel(spec, {
      frames: FRAMES,
      settings: { steps: 8 },
      inputs: { in: 1, clock },
      events: [{ frame: 650, setting: 'steps', value: 3 }],
    });
    expect([640, 700, 740, 840, 940, 1040].map((n) => carried(out, n))).toEqual([7, 7, 1, 2, 3, 1]);
  });
});

describe('by an address', () => {
  it.each([1, 2, 3, 4, 5, 6, 7, 8])('0 to 8 V run over %i steps in equal parts', async (steps) => {
    const volts = (n: number): number => -2 + n / 64; // exact in binary
    const out = await run(steps, { in: 1, address: volts }, 800);
    const step = (n: number): number => Math.min(steps, Math.max(1, 1 + Math.floor((volts(n) * steps) / 8)));
    expect(Array.from({ length: 800 }, (_, n) => carried(out, n))).toEqual(Array.from({ length: 800 }, (_, n) => step(n)));
  });

  it('takes the place of clock and reset', async () => {
    const out = await run(4, { in: 1, clock, reset: gateSignal([500, 600]), address: 5 });
    expect(new Set(Array.from({ length: FRAMES }, (_, n) => carried(out, n)))).toEqual(new Set([3]));
  });
});
