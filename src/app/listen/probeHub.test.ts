import { describe, expect, it } from 'vitest';
import { Recorder } from '../probes/recorder.ts';
import { createProbeHub, type ProbeTake } from './probeHub.ts';
import type { TakeStep } from './takeSteps.ts';

const at = ['osc1', 'sine'] as const;
const take = (level: number, step: TakeStep): ProbeTake => ({
  rate: 48000,
  frames: 512,
  peaks: { least: Float32Array.of(-level), greatest: Float32Array.of(level), frames: 512 },
  window: { from: 0, samples: Float32Array.of(level) },
  step,
});
const level = (recording: Recorder['recorded']): number | undefined => recording?.peaks.greatest[0];

describe('a probe', () => {
  it('that is clipped on or shown later sees the take and the one before the last edit, with what is looked at of both', () => {
    const hub = createProbeHub();
    const early = new Recorder(() => undefined);
    hub.subscribe(at, early);
    hub.take([{ at, take: take(1, 'fresh') }]);
    hub.take([{ at, take: take(2, 'next') }]);
    hub.take([{ at, take: take(3, 'same') }]);
    hub.window(at, 'before', { from: 7, samples: Float32Array.of(1, 1) });
    const late = new Recorder(() => undefined);
    hub.subscribe(at, late);
    for (const recorder of [early, late]) {
      expect([level(recorder.recorded), level(recorder.before)]).toEqual([3, 1]);
      expect(recorder.before?.window?.from).toBe(7);
    }
  });

  it('sees nothing of another patch behind a fresh take', () => {
    const hub = createProbeHub();
    hub.take([{ at, take: take(1, 'fresh') }]);
    hub.take([{ at, take: take(2, 'next') }]);
    hub.take([{ at, take: take(3, 'fresh') }]);
    const late = new Recorder(() => undefined);
    hub.subscribe(at, late);
    expect([level(late.recorded), late.before]).toEqual([3, undefined]);
  });
});
