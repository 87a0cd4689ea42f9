// @vitest-environment node
import { afterEach, describe, expect, it, vi } from 'vitest';
import { offlineDevice } from '../../../tests/support/offlineDevice.ts';
import { findClicks } from '../../measure/clicks.ts';
import { type PlayedSound, Player } from './player.ts';
import { SWITCH_SECONDS } from './playRun.ts';

const rate = 48000;
afterEach(() => void vi.unstubAllGlobals());

/** A tone of 5 V of 10 V full scale, starting high up. */
function tone(hz: number, gain = 1, seconds = 4): PlayedSound {
  const left = Float32Array.from({ length: seconds * rate }, (_, n) => 0.5 * Math.cos((2 * Math.PI * hz * n) / rate));
  return { left, right: left, rate, gain };
}
const nothing = { ended: () => undefined };
const volts = (samples: Float32Array): Float32Array => samples.map((x) => 10 * x);

describe('the player', () => {
  it('starts, jumps, changes over, loops, and pauses without a click', async () => {
    const device = offlineDevice(6);
    const player = new Player(device.context, nothing, 1);
    const [before, after] = [tone(55), tone(58)];
    await player.play(before, 0.1, undefined);
    device.at(1.0037);
    player.change(before, 2.3456, undefined);
    device.at(1.2);
    player.change(after, undefined, undefined, SWITCH_SECONDS);
    device.at(1.5);
    player.change(before, 2.6, [2.5, 2.7777], SWITCH_SECONDS);
    device.at(4);
    player.change(before, undefined, undefined);
    device.at(5);
    void player.stop();
    const sound = volts(await device.render());
    expect(findClicks(sound)).toEqual([]);
    for (const [from, to] of [
      [0.5, 0.6],
      [1.1, 1.15],
      [1.3, 1.4],
      [3, 3.1],
      [4.5, 4.6],
    ] as const) {
      expect(Math.max(...sound.subarray(from * rate, to * rate))).toBeCloseTo(5, 1);
    }
    expect(sound.subarray(5.1 * rate).every((x) => x === 0)).toBe(true);
  });

  it('comes to the end of a take without a click', async () => {
    const device = offlineDevice(2);
    const player = new Player(device.context, nothing, 1);
    await player.play(tone(55), 3.1, undefined);
    const sound = volts(await device.render());
    expect(findClicks(sound)).toEqual([]);
    expect(Math.max(...sound.subarray(0.5 * rate, 0.6 * rate))).toBeCloseTo(5, 1);
    expect(sound.subarray(0.92 * rate).every((x) => x === 0)).toBe(true);
  });

  it('would click without fades: the test can fail', async () => {
    const device = offlineDevice(2);
    const player = new Player(device.context, nothing, 1);
    await player.play(tone(55), 0, undefined);
    device.at(1.0037);
    player.change(tone(55), 2.3456, undefined, 1e-6);
    expect(findClicks(volts(await device.render())).length).toBeGreaterThan(0);
  });

  it('goes on at the same place when the take is another one: the same sound is not heard to change', async () => {
    const device = offlineDevice(2);
    const player = new Player(device.context, nothing, 1);
    await player.play(tone(440), 0.25, undefined);
    const start = player.position() as number;
    device.at(1.00001);
    player.change(tone(440), undefined, undefined, SWITCH_SECONDS);
    const sound = await device.render();
    const lead = 0.01 * rate;
    let worst = 0;
    for (let n = lead + 0.02 * rate; n < 1.9 * rate; n++) {
      worst = Math.max(worst, Math.abs((sound[n] as number) - 0.5 * Math.cos(2 * Math.PI * 440 * (start + (n - lead) / rate))));
    }
    expect(worst).toBeLessThan(1e-4);
  });

  it('tells the place that is heard, round the loop too', async () => {
    const device = offlineDevice(4);
    const player = new Player(device.context, nothing, 1);
    expect(player.position()).toBeUndefined();
    await player.play(tone(55), 0.5, [1, 1.5]);
    device.at(0.26);
    expect(player.position()).toBeCloseTo(0.75, 3);
    device.at(1.21);
    expect(player.position()).toBeCloseTo(1.2, 3);
  });

  it('turns the louder take down, and never above its own level', async () => {
    const device = offlineDevice(2);
    const player = new Player(device.context, nothing, 1);
    await player.play(tone(440, 0.5), 0, undefined);
    const sound = await device.render();
    expect(Math.max(...sound.subarray(0.5 * rate, rate))).toBeCloseTo(0.25, 4);
  });

  it('obeys the volume, moving over some 20 ms', async () => {
    const device = offlineDevice(3);
    const player = new Player(device.context, nothing, 0.5);
    await player.play(tone(440), 0, undefined);
    device.at(1);
    player.setVolume(0.1);
    const sound = await device.render();
    expect(findClicks(volts(sound))).toEqual([]);
    expect(Math.max(...sound.subarray(0.5 * rate, 0.9 * rate))).toBeCloseTo(0.25, 4);
    expect(Math.max(...sound.subarray(1.1 * rate, 2 * rate))).toBeCloseTo(0.05, 3);
  });
});
