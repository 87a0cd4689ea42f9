// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { pluckedCents } from '../../../tests/support/pluckedString.ts';
import { gainAt, impulse, peakOf, rmsOf } from '../../../tests/support/response.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { worst } from '../../../tests/support/worst.ts';
import { findClicks } from '../../measure/clicks.ts';
import { spec } from './spec.ts';

const rate = 48000;
const C4 = 440 * 2 ** (-9 / 12);
const plain = { feedback: 0, tone: 1, mix: 1 };
const sine =
  (hz: number, volts: number, at = rate) =>
  (n: number) =>
    volts * Math.sin((2 * Math.PI * hz * n) / at);

describe('echoes', () => {
  it.each([
    [0.0005, 24],
    [0.3, 14400],
    [1, 48000],
  ])('come after `time`, each `feedback` times the one before, exactly (%f s)', async (time, frames) => {
    const { wet } = await runKernel(spec, {
      frames: 4 * frames + 100,
      settings: { ...plain, time, feedback: 0.5 },
      inputs: { in: impulse() },
    });
    for (let n = 0; n < wet!.length; n++) {
      const round = n / frames;
      const expected = n > 0 && Number.isInteger(round) ? 0.5 ** (round - 1) : 0;
      if (wet![n] !== expected) expect(wet![n], `frame ${n}`).toBe(expected);
    }
  });

  it('out is the input and the echoes in the proportion of `mix`', async () => {
    const inputs = { in: sine(331, 3) };
    const { out, wet } = await runKernel(spec, { frames: 20000, settings: { time: 0.01, mix: 0.4 }, inputs });
    expect(worst(20000, (n) => out![n]! - (0.6 * Math.fround(inputs.in(n)) + 0.4 * wet![n]!))).toBeLessThan(1e-6);
  });

  it('mix 0 passes the input bit for bit, whatever else moves', async () => {
    const next = uniform(4);
    const sound = Float32Array.from({ length: 6000 }, () => 24 * next() - 12);
    const events = [
      { frame: 1000, setting: 'time', value: 0.01, glide: 500 },
      { frame: 2000, setting: 'feedback', value: 1.1, glide: 500 },
    ];
    const { out, wet } = await runKernel(spec, {
      frames: 6000,
      settings: { mix: 0, time: 0.02 },
      inputs: { in: sound, timeCv: (n) => n / 6000 },
      events,
    });
    expect(out).toEqual(sound);
    expect(peakOf(wet!)).toBeGreaterThan(5);
  });

  it('tone 1 leaves them as bright as they came, below it a one-pole at 200 Hz x 100^tone', async () => {
    for (const [tone, corner] of [
      [0, 200],
      [0.3, 796.2],
      [0.5, 2000],
      [1, 0],
    ] as const) {
      const { wet } = await runKernel(spec, {
        sampleRate: 192000,
        frames: 40000,
        settings: { ...plain, time: 0.01, tone },
        inputs: { in: impulse() },
      });
      expect(gainAt(wet!, 5, 192000)).toBeCloseTo(0, 2);
      if (corner) expect(Math.abs(gainAt(wet!, corner, 192000) + 3.01)).toBeLessThan(0.05);
      else expect(gainAt(wet!, 20000, 192000)).toBeCloseTo(0, 5);
    }
  });

  it('what comes in at Return goes round at full level, whatever the feedback', async () => {
    const { wet } = await runKernel(spec, { frames: 1100, settings: { ...plain, time: 0.01 }, inputs: { return: impulse() } });
    expect([...wet!].flatMap((volts, n) => (volts ? [[n, volts]] : []))).toEqual([[480, 1]]);
  });

  it.each([
    [44100, 1],
    [192000, 8],
  ] as const)('have room for 2 s at %i Hz, quality %i', async (sampleRate, quality) => {
    const frames = 2 * sampleRate * quality;
    const { wet } = await runKernel(spec, {
      sampleRate,
      quality,
      frames: frames + 2,
      settings: { ...plain, time: 2 },
      inputs: { in: impulse() },
      outputs: ['wet'],
    });
    expect(wet!.findIndex((volts) => volts !== 0)).toBe(frames);
  });
});

describe('time', () => {
  /** Frames of delay of a steady sine, from its phase; `near` picks the cycle. */
  async function delayOf(
    hz: number,
    settings: Record<string, number>,
    more: Record<string, number>,
    near: number,
    engine: { sampleRate?: number; quality?: 1 | 4 } = {},
  ) {
    const at = (engine.sampleRate ?? rate) * (engine.quality ?? 1);
    const frames = Math.round(near * 1.5 + at * 0.3);
    const { wet } = await runKernel(spec, {
      ...engine,
      frames,
      settings: { ...plain, ...settings },
      inputs: { in: sine(hz, 4, at), ...more },
    });
    let [c, s] = [0, 0];
    for (let n = frames - Math.round(at * 0.2); n < frames; n++) {
      c += wet![n]! * Math.cos((2 * Math.PI * hz * n) / at);
      s += wet![n]! * Math.sin((2 * Math.PI * hz * n) / at);
    }
    const cycle = at / hz;
    const lag = (Math.atan2(-c, s) / (2 * Math.PI)) * cycle;
    return { frames: lag + cycle * Math.round((near - lag) / cycle), volts: (2 * Math.hypot(c, s)) / Math.round(at * 0.2) };
  }

  it.each([100, 1000, 5000, 10000, 17000])('is exact within 0.0003 of a frame at any fraction (sine of %i Hz)', async (hz) => {
    for (const fraction of [0, 0.1, 0.25, 0.5, 0.77, 0.999]) {
      const frames = 960 + fraction;
      const measured = await delayOf(hz, { time: frames / rate }, {}, frames);
      expect(Math.abs(measured.frames - frames), `${fraction}`).toBeLessThan(3e-4);
      expect(Math.abs(20 * Math.log10(measured.volts / 4)), `${fraction}`).toBeLessThan(0.001);
    }
  });

  it.each([
    [0.5, 1, 2],
    [0.5, -2, 0.25],
    [-1, 0.5, 0.5],
    [0.1, 1, 2 ** 0.2],
    [0, 5, 1],
  ])('is multiplied by 2^(2 amount V) (amount %f, %f V: %f)', async (timeAmount, timeCv, factor) => {
    const frames = 480 * factor;
    expect(Math.abs((await delayOf(500, { time: 0.01, timeAmount }, { timeCv }, frames)).frames - frames)).toBeLessThan(1e-3);
  });

  it('stays within 0.5 ms and 2 s, one period of a patched pitch at least 13 frames', async () => {
    const first = async (settings: Record<string, number>, inputs: Record<string, number>) =>
      (
        await runKernel(spec, {
          frames: 2 * rate + 2,
          settings: { ...plain, timeAmount: 1, ...settings },
          inputs: { in: impulse(), ...inputs },
          outputs: ['wet'],
        })
      ).wet!.findIndex((v) => v !== 0);
    expect(await first({ time: 0.01 }, { timeCv: -12 })).toBe(24);
    expect(await first({ time: 0.01 }, { timeCv: 12 })).toBe(2 * rate);
    expect(await first({}, { pitch: 12 })).toBe(13);
    expect(await first({}, { pitch: -12 })).toBe(2 * rate);
  });

  it.each([1000, 12000])(
    'follows a moving control without a trace of steps: what comes out is the sine at a moving time, -90 dB (%i Hz)',
    async (hz) => {
      const frames = rate;
      const volts = Float32Array.from({ length: frames }, (_, n) => 2 * Math.sin((2 * Math.PI * 1.3 * n) / rate));
      const { wet } = await runKernel(spec, { frames, settings: { ...plain, time: 0.01 }, inputs: { in: sine(hz, 4), timeCv: volts } });
      // the stated law: two poles of 1 ms, at most half a frame per frame
      let [delay, speed] = [480 * 2 ** volts[0]!, 0];
      const error = new Float32Array(frames);
      for (let n = 0; n < frames; n++) {
        const wanted = Math.max(-0.5, Math.min(0.5, (480 * 2 ** volts[n]! - delay) / (2 * 0.001 * rate)));
        speed += (2 / (0.001 * rate)) * (wanted - speed);
        delay += speed;
        error[n] = wet![n]! - 4 * Math.sin((2 * Math.PI * hz * (n - delay)) / rate);
      }
      expect(20 * Math.log10(rmsOf(error, 5000) / rmsOf(wet!, 5000))).toBeLessThan(-90);
    },
  );

  it('a jump of the time is travelled to without a click', async () => {
    const events = [
      { frame: 24000, setting: 'time', value: 0.35, glide: 240 },
      { frame: 72000, setting: 'time', value: 0.02, glide: 240 },
      { frame: 120000, setting: 'time', value: 0.021, glide: 240 },
    ];
    const run = { frames: 150000, settings: { ...plain, time: 0.1 }, inputs: { in: sine(300, 4) } };
    const { wet } = await runKernel(spec, { ...run, events });
    expect(findClicks(wet!, {}, 10000)).toEqual([]);
    const cut = wet!.map((volts, n) => (n < 60000 ? volts : wet![n + 37]!));
    expect(findClicks(cut, {}, 10000).length).toBeGreaterThan(0); // a jump by 37 frames would be found
  });
});

describe('feedback', () => {
  it('is exact for signals within 6 V: twice the input, twice the output', async () => {
    const run = async (volts: number) =>
      (
        await runKernel(spec, {
          frames: 30000,
          settings: { time: 0.003, feedback: 0.8, tone: 0.6, mix: 1 },
          inputs: { in: sine(1000 / 3, volts) },
        })
      ).wet!;
    const [small, large] = [await run(0.5), await run(1)];
    expect(peakOf(large)).toBeGreaterThan(2);
    expect(worst(30000, (n) => large[n]! - 2 * small[n]!)).toBeLessThan(1e-5);
  });

  it.each([
    [0.0005, 1],
    [0.0123, 0.5],
    [0.05, 1],
  ])('of 1.1 swells and stays, within 10 V and without direct voltage (%f s, tone %f)', async (time, tone) => {
    const { wet } = await runKernel(spec, {
      frames: 4 * rate,
      settings: { time, tone, feedback: 1.1, mix: 1 },
      inputs: { in: (n) => (n < 4800 ? 0.02 * Math.sin(n * n * 1e-3) + 0.01 : 0) },
    });
    expect(peakOf(wet!, 3 * rate)).toBeGreaterThan(2);
    expect(peakOf(wet!, 3 * rate)).toBeLessThan(10);
    expect(Math.abs(wet!.subarray(2 * rate).reduce((sum, volts) => sum + volts, 0) / (2 * rate))).toBeLessThan(1);
  });

  it('of 0.9 and less passes direct voltage as it is', async () => {
    const { wet } = await runKernel(spec, {
      frames: rate,
      settings: { time: 0.001, feedback: 0.75, tone: 0.5, mix: 1 },
      inputs: { in: 1 },
    });
    expect(wet!.at(-1)).toBeCloseTo(4, 4);
  });

  it('recovers from the extremes once it is turned down', async () => {
    const next = uniform(9);
    const burst = Float32Array.from({ length: 3 * rate }, (_, n) =>
      n < rate ? (next() < 0.5 ? 12 : -12) : n < 2 * rate ? 0 : Math.sin(0.05 * n),
    );
    const run = async (signal: Float32Array) =>
      (
        await runKernel(spec, {
          frames: 3 * rate,
          settings: { time: 0.02, feedback: 1.1, tone: 1, mix: 1 },
          inputs: { in: signal },
          events: [{ frame: rate, setting: 'feedback', value: 0.3 }],
        })
      ).wet!;
    const [after, fresh] = [await run(burst), await run(burst.map((volts, n) => (n < rate ? 0 : volts)))];
    expect(worst(rate, (n) => after[2 * rate + n]! - fresh[2 * rate + n]!)).toBeLessThan(1e-6);
  });

  it('an empty line is silent to the last bit', async () => {
    const { out } = await runKernel(spec, { frames: 3 * rate, settings: { time: 0.005 }, inputs: { in: (n) => (n < 1000 ? 5 : 0) } });
    expect(peakOf(out!, 0, 2000)).toBeGreaterThan(1);
    expect(peakOf(out!, 2.5 * rate)).toBe(0);
  });
});

describe('a string', () => {
  const pluck = (hz: number, settings: Record<string, number>, engine = {}): Promise<number> => pluckedCents(spec, hz, settings, engine);

  it.each([110, 146.83, 207.65, 329.63, 440, 622.25, 783.99, 880])(
    'is in tune within 0.05 cent at %f Hz with bright echoes',
    async (hz) => {
      for (const feedback of [0.99, 0.999, 1]) expect(Math.abs(await pluck(hz, { feedback, tone: 1 })), `${feedback}`).toBeLessThan(0.05);
    },
  );

  it.each([110, 220, 440, 880])('and within 0.05 cent at %f Hz with duller ones', async (hz) => {
    for (const tone of [0.95, 0.8]) expect(Math.abs(await pluck(hz, { feedback: 0.99, tone })), `${tone}`).toBeLessThan(0.05);
    expect(Math.abs(await pluck(hz, { feedback: 0.99, tone: 0.7 }))).toBeLessThan(0.5); // too short to measure better
  });

  it('at any rate and quality', async () => {
    for (const engine of [{ sampleRate: 44100 }, { sampleRate: 96000 }, { quality: 4 }] as const) {
      expect(Math.abs(await pluck(440, { feedback: 0.998, tone: 1 }, engine))).toBeLessThan(0.05);
    }
  });

  it('rings by its feedback: rounds per second times the loss of each', async () => {
    const { wet } = await runKernel(spec, {
      frames: rate,
      settings: { feedback: 0.99, tone: 1, mix: 1 },
      inputs: { in: (n) => (n < 109 ? Math.sin((2 * Math.PI * n) / 109) : 0), pitch: Math.log2(440 / C4) },
    });
    const fall = 20 * Math.log10(rmsOf(wet!, 33600, 38400) / rmsOf(wet!, 4800, 9600));
    expect(fall).toBeCloseTo(440 * 0.6 * 20 * Math.log10(0.99), 0);
  });
});
