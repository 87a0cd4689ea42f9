import { describe, expect, it, type Mock, vi } from 'vitest';
import type { FrameRange } from '../../engine/hosts/take.ts';
import type { TakeDone } from '../../engine/hosts/takes.ts';
import type { RecordedWindow } from '../../engine/protocol.ts';
import type { Place } from '../../patch/document.ts';
import { createTakeWindows, rangeToKeep, visibleRange, WINDOW_BYTES } from './takeWindows.ts';

const rate = 48000;
const minute = 60 * rate;
const probe: Place = ['osc1', 'sine'];

describe('the frames to keep', () => {
  it('hold what is visible and as much again beside it, within the take', () => {
    const visible = visibleRange({ start: 10, span: 1 }, rate, minute);
    const kept = rangeToKeep({ start: 10, span: 1 }, rate, minute, 1);
    expect(kept?.from).toBe(visible.from - 24001);
    expect(kept?.frames).toBe(visible.frames + 2 * 24001);
    expect(rangeToKeep({ start: 0, span: 1 }, rate, minute, 1)?.from).toBe(0);
    const last = rangeToKeep({ start: 59.5, span: 0.5 }, rate, minute, 1);
    expect((last?.from ?? 0) + (last?.frames ?? 0)).toBe(minute);
  });

  it('never take more bytes than there are for them, and are none where the visible ones alone would', () => {
    for (const outputs of [1, 4, 24]) {
      for (const span of [20 / rate, 0.1, 1, 2, 8, 30, 60]) {
        const kept = rangeToKeep({ start: 0, span }, rate, minute, outputs);
        if (kept) expect(kept.frames * 4 * outputs).toBeLessThanOrEqual(WINDOW_BYTES);
        else expect(span * rate * 4 * outputs).toBeGreaterThan(WINDOW_BYTES * 0.95);
      }
    }
  });
});

const done = (number: number): TakeDone => ({
  type: 'done',
  number,
  rate,
  frames: minute,
  left: new Float32Array(0),
  right: new Float32Array(0),
  taps: [],
  edges: new Int32Array(0),
  faults: [],
  realtimeRatio: 100,
});

const answer = (from: number, frames: number): RecordedWindow => ({
  from,
  frames,
  taps: [{ at: probe, samples: new Float32Array(frames) }],
});

function stage() {
  const window = vi.fn();
  const publish = vi.fn();
  const windows = createTakeWindows(() => ({ window }), { window: publish });
  return { window, publish, windows };
}

function firstAsked(window: Mock): FrameRange {
  const [request] = window.mock.calls[0] ?? [];
  return request as FrameRange;
}

describe('looking at a take', () => {
  it('asks for what is not there, once, and for nothing while it lies within what is', () => {
    const { window, windows } = stage();
    windows.look({ start: 10, span: 1 });
    expect(window).not.toHaveBeenCalled();
    windows.came(done(3), undefined, undefined, [probe]);
    expect(window).toHaveBeenCalledTimes(1);
    const { from, frames } = firstAsked(window);
    expect(window.mock.calls[0]?.[0]).toMatchObject({ takes: [3], outputs: [probe] });
    windows.look({ start: 10.2, span: 0.5 });
    windows.received(3, answer(from, frames));
    windows.look({ start: 10.4, span: 20 / rate });
    expect(window).toHaveBeenCalledTimes(1);
    windows.look({ start: 30, span: 1 });
    expect(window).toHaveBeenCalledTimes(2);
  });

  it('does not wait for a long stretch when a short one within it will do', () => {
    const { window, windows } = stage();
    windows.look({ start: 10, span: 20 });
    windows.came(done(3), undefined, undefined, [probe]);
    windows.look({ start: 15, span: 8 });
    expect(window).toHaveBeenCalledTimes(1);
    windows.look({ start: 15, span: 20 / rate });
    expect(window).toHaveBeenCalledTimes(2);
  });

  it('needs no more where the take brought along what is looked at', () => {
    const { window, windows } = stage();
    windows.look({ start: 10, span: 1 });
    const range = windows.rangeOf(rate, minute, [probe]);
    windows.came(done(3), range, undefined, [probe]);
    expect(window).not.toHaveBeenCalled();
  });

  it('asks for the take before the last edit too, which stays where it was looked at already', () => {
    const { window, publish, windows } = stage();
    windows.look({ start: 10, span: 1 });
    const range = windows.rangeOf(rate, minute, [probe]);
    windows.came(done(3), range, undefined, [probe]);
    windows.came(done(4), range, done(3), [probe]);
    expect(window).not.toHaveBeenCalled();
    windows.look({ start: 40, span: 1 });
    expect(window.mock.calls[0]?.[0]).toMatchObject({ takes: [4, 3] });
    const { from, frames } = firstAsked(window);
    windows.received(3, answer(from, frames));
    windows.received(4, answer(from, frames));
    expect(publish.mock.calls.map(([, which]) => which)).toEqual(['before', 'now']);
  });

  it('lets nothing through of a take that is gone', () => {
    const { publish, windows } = stage();
    windows.look({ start: 10, span: 1 });
    windows.came(done(3), undefined, undefined, [probe]);
    windows.came(done(4), undefined, undefined, [probe]);
    windows.received(3, answer(479999, 48003));
    expect(publish).not.toHaveBeenCalled();
    windows.clear();
    windows.received(4, answer(479999, 48003));
    expect(publish).not.toHaveBeenCalled();
  });

  it('asks once more when what was asked for will not come', () => {
    const { window, windows } = stage();
    windows.look({ start: 10, span: 1 });
    windows.came(done(3), undefined, undefined, [probe]);
    windows.again();
    expect(window).toHaveBeenCalledTimes(2);
    windows.look(undefined);
    windows.again();
    expect(window).toHaveBeenCalledTimes(2);
  });
});
