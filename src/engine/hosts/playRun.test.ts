// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { findClicks } from '../../measure/clicks.ts';
import { endOf, fadeCurve, fadedEnd, fitRegion, JUMP_SECONDS, looped, placeAt, type Region, risen } from './playRun.ts';

const rate = 48000;
/** Volts over full scale 1. */
const tone = (hz: number, seconds = 2): Float32Array =>
  Float32Array.from({ length: seconds * rate }, (_, n) => 5 * Math.cos((2 * Math.PI * hz * n) / rate));

describe('where a take plays', () => {
  const run = { at: 10, from: 0.5, seconds: 2, loop: undefined };

  it('follows the device from the start to the end of the take', () => {
    expect(placeAt(run, 9)).toBe(0.5);
    expect(placeAt(run, 10.25)).toBe(0.75);
    expect(placeAt(run, 99)).toBe(2);
    expect(endOf(run)).toBe(11.5);
  });

  it('goes round a loop, entered from before it or within', () => {
    const loop: Region = [1, 1.5];
    expect(placeAt({ ...run, loop }, 10.9)).toBeCloseTo(1.4, 12);
    expect(placeAt({ ...run, loop }, 11.1)).toBeCloseTo(1.1, 12);
    expect(placeAt({ ...run, loop }, 13.1)).toBeCloseTo(1.1, 12);
    expect(endOf({ ...run, loop })).toBeUndefined();
  });

  it('is not brought back by a loop that lies behind it', () => {
    expect(placeAt({ ...run, loop: [0.1, 0.4] }, 11)).toBe(1.5);
    expect(endOf({ ...run, loop: [0.1, 0.4] })).toBe(11.5);
  });
});

describe('regions', () => {
  it('lie within the take, whichever end was named first, on whole frames', () => {
    expect(fitRegion([3, -1], 2, rate)).toEqual([0, 2]);
    const [start, end] = fitRegion([0.123456, 1.000001], 2, rate) as Region;
    expect(Math.abs(start * rate - Math.round(start * rate))).toBeLessThan(1e-6);
    expect(end).toBe(1);
  });

  it('are none where they are shorter than a loop can be, and begin with the take where there is no room for a seam', () => {
    expect(fitRegion([1, 1.019], 2, rate)).toBeUndefined();
    expect(fitRegion([1, 1.02], 2, rate)).toBeDefined();
    expect(fitRegion([0.004, 1], 2, rate)).toEqual([0, 1]);
  });
});

describe('fades', () => {
  it('of a cross-fade add up to 1 throughout', () => {
    const [coming, going] = [fadeCurve(1), fadeCurve(1, true)];
    for (let i = 0; i < coming.length; i++) expect((coming[i] as number) + (going[i] as number)).toBeCloseTo(1, 6);
    expect([coming[0], going.at(-1)]).toEqual([0, 0]);
    expect(risen(0.5)).toBeCloseTo(0.5, 12);
  });
});

/** What the device plays of a playable, `seconds` long. */
function played(channel: Float32Array, from: number, loop: Region, seconds: number): Float32Array {
  const { samples, first, loop: inner } = looped(channel, rate, from, loop);
  const out = new Float32Array(Math.round(seconds * rate));
  const [start, end] = inner.map((second) => Math.round(second * rate)) as [number, number];
  let at = Math.round((from - first) * rate);
  for (let i = 0; i < out.length; i++) {
    out[i] = samples[at] ?? 0;
    at++;
    if (at >= end) at = start;
  }
  return out;
}

describe('loops', () => {
  it.each([
    ['of a low tone, not a whole number of periods', tone(55), [0.5, 1.003]],
    ['of a high tone', tone(3000), [0.25, 0.7501]],
    ['to the end of the take', tone(111), [1.5, 2]],
  ] as const)('%s have no click at the seam', (_what, take, loop) => {
    expect(findClicks(played(take, 0.3, loop, 4), {}, 200)).toEqual([]);
    // The same loop without its seam does click: the test can fail.
    const bare = played(take, 0.3, loop, 4).slice();
    const [start, end] = loop.map((second) => Math.round(second * rate)) as [number, number];
    const from = Math.round(0.3 * rate);
    for (let i = 0; i < bare.length; i++) {
      const at = from + i;
      bare[i] = take[at < end ? at : start + ((at - start) % (end - start))] as number;
    }
    expect(findClicks(bare, {}, 200).length).toBeGreaterThan(0);
  });

  it('of a whole number of periods are the tone itself', () => {
    const take = tone(100);
    const out = played(take, 0.5, [0.5, 0.75], 3);
    const error = out.reduce((most, x, n) => Math.max(most, Math.abs(x - 5 * Math.cos((2 * Math.PI * 100 * n) / rate))), 0);
    expect(error).toBeLessThan(1e-4);
  });

  it('from the first frame on fade out and in again', () => {
    expect(findClicks(played(tone(55), 0, [0, 1.003], 4), {}, 400)).toEqual([]);
  });

  it('keep everything but the last 5 ms of the region', () => {
    const take = tone(55);
    const out = played(take, 0.5, [0.5, 1.003], 0.503);
    const kept = Math.floor((0.503 - JUMP_SECONDS) * rate);
    expect(out.subarray(0, kept).every((x, n) => x === take[0.5 * rate + n])).toBe(true);
  });
});

describe('the end of a take', () => {
  it('fades out', () => {
    const take = tone(55);
    const end = fadedEnd(take, rate);
    const whole = new Float32Array(3 * rate);
    whole.set(take);
    expect(findClicks(whole).length).toBeGreaterThan(0);
    whole.set(end, take.length - end.length);
    expect(findClicks(whole)).toEqual([]);
  });
});
