// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { falls, rises } from '../../../tests/support/edges.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

const on = (frame: number, a: number, b = 0.5) => ({ frame, code: 1, a, b });
const off = (frame: number, a: number) => ({ frame, code: 0, a, b: 0 });
const bend = (frame: number, a: number) => ({ frame, code: 2, a, b: 0 });
const wheel = (frame: number, a: number) => ({ frame, code: 3, a, b: 0 });

it('a note is pitch (12 to the volt, 60 = 0 V), gate, a trigger of 1 ms and velocity', async () => {
  const { pitch, gate, trigger, velocity } = await runKernel(spec, { frames: 2000, notes: [on(100, 57, 0.8), off(1100, 57)] });
  expect(pitch![99]).toBe(0);
  expect(pitch![100]).toBe(-0.25);
  expect(pitch![1999]).toBe(-0.25);
  expect([rises(gate!), falls(gate!)]).toEqual([[100], [1100]]);
  expect([rises(trigger!), falls(trigger!)]).toEqual([[100], [148]]);
  expect(gate![500]).toBe(8);
  expect(velocity![500]).toBeCloseTo(6.4, 6);
  expect(velocity![1999]).toBeCloseTo(6.4, 6);
});

it('all keys of MIDI stand at their voltage', async () => {
  const notes = Array.from({ length: 128 }, (_, k) => [on(k * 10, k), off(k * 10 + 5, k)]).flat();
  const { pitch } = await runKernel(spec, { frames: 1280, notes });
  expect(worst(128, (k) => pitch![k * 10 + 3]! - (k - 60) / 12)).toBeLessThan(1e-6);
});

describe('several keys', () => {
  const notes = [on(0, 60), on(100, 67), on(200, 55), off(300, 55), off(400, 67), off(500, 60)];
  const played = async (priority: string) => {
    const { pitch, gate, trigger } = await runKernel(spec, { frames: 600, settings: { priority }, notes });
    return {
      pitches: [50, 150, 250, 350, 450, 550].map((n) => Math.round(pitch![n]! * 12) + 60),
      gates: [rises(gate!), falls(gate!)],
      triggers: rises(trigger!),
    };
  };

  it('the last one sounds; let go, the one before comes back without a trigger', async () => {
    expect(await played('last')).toEqual({ pitches: [60, 67, 55, 67, 60, 60], gates: [[0], [500]], triggers: [0, 100, 200] });
  });

  it('the lowest one sounds', async () => {
    expect(await played('low')).toEqual({ pitches: [60, 60, 55, 60, 60, 60], gates: [[0], [500]], triggers: [0, 200] });
  });

  it('the highest one sounds', async () => {
    expect(await played('high')).toEqual({ pitches: [60, 67, 67, 67, 60, 60], gates: [[0], [500]], triggers: [0, 100] });
  });

  it('128 held at once, let go in any order, end in silence', async () => {
    const all = Array.from({ length: 128 }, (_, k) => on(k, (k * 37) % 128));
    const gone = Array.from({ length: 128 }, (_, k) => off(500 + k, (k * 91 + 13) % 128));
    const { gate, pitch } = await runKernel(spec, { frames: 700, settings: { priority: 'high' }, notes: [...all, ...gone] });
    expect([rises(gate!), falls(gate!)]).toEqual([[0], [627]]);
    expect(pitch![499]).toBeCloseTo(67 / 12, 6);
  });

  it('all notes off ends them', async () => {
    const { gate } = await runKernel(spec, { frames: 600, notes: [on(0, 60), on(10, 64), { frame: 200, code: 4, a: 0, b: 0 }] });
    expect([rises(gate!), falls(gate!)]).toEqual([[0], [200]]);
  });
});

it('let go and struck again on one frame: the gate is low for one frame, pitch and trigger are on time', async () => {
  const { pitch, gate, trigger } = await runKernel(spec, { frames: 600, notes: [on(0, 60), off(200, 60), on(200, 62)] });
  expect([rises(gate!), falls(gate!)]).toEqual([[0, 201], [200]]);
  expect(rises(trigger!)).toEqual([0, 200]);
  expect(pitch![200]).toBeCloseTo(1 / 6, 6);
});

it('glide slides in a straight line and takes its time; the first key does not slide', async () => {
  const { pitch } = await runKernel(spec, { frames: 8000, settings: { glide: 0.1 }, notes: [on(100, 72), on(1000, 60)] });
  expect(pitch![100]).toBe(1);
  expect(worst(7000, (n) => pitch![1000 + n]! - Math.max(1 - n / 4800, 0))).toBeLessThan(1e-6);
});

it('bend reaches its range in semitones, wheel 8 V, both within 5 ms of the hand', async () => {
  const out = await runKernel(spec, {
    frames: 2000,
    settings: { bendRange: 12 },
    notes: [on(0, 60), bend(100, -1), wheel(100, 1), bend(1000, 0.5)],
  });
  expect(out.pitch![340]).toBe(-1);
  expect(out.pitch![220]).toBeCloseTo(-0.5, 6);
  expect(out.pitch![1999]).toBe(0.5);
  expect(out.wheel![100]).toBe(0);
  expect(out.wheel![340]).toBe(8);
});
