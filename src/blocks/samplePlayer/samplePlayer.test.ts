// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, gateSignal } from '../../../tests/support/edges.ts';
import { engineModule } from '../../../tests/support/engine.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { uniform } from '../../../tests/support/signals.ts';
import { specs } from '../../blocks/specs.gen.ts';
import type { RecordedSound } from '../../engine/hosts/recordings.ts';
import { renderTake, TakeRenderer } from '../../engine/hosts/take.ts';
import { compilePlan } from '../../engine/plan/compile.ts';
import { createAnalyser } from '../../measure/spectrum.ts';
import type { Patch } from '../../patch/document.ts';
import { spec } from './spec.ts';

type Run = Parameters<typeof runKernel>[1];
const FADE = 72; // 1.5 ms at 48 kHz
const TRIGGER = 48; // 1 ms

function noise(frames: number, seed = 1): Float32Array {
  const next = uniform(seed);
  return Float32Array.from({ length: frames }, () => 2 * next() - 1);
}
const sine = (frames: number, cycles: number, level = 0.5): Float32Array =>
  Float32Array.from({ length: frames }, (_, n) => level * Math.sin((2 * Math.PI * cycles * n) / frames));

const play = (sound: RecordedSound, run: Run) =>
  runKernel(spec, { ...run, recordings: new Map([['fog', sound]]), settings: { recording: 'fog', ...run.settings } });

const edgesOf = (gate: Float32Array): number[] => [...gate.keys()].filter((n) => gate[n]! >= 1.5 && (n === 0 || gate[n - 1]! < 1.5));
const largestStep = (volts: Float32Array, from = 1, to = volts.length): number => {
  let most = 0;
  for (let n = from; n < to; n++) most = Math.max(most, Math.abs(volts[n]! - volts[n - 1]!));
  return most;
};
/** Share of a fade: 3 x^2 - 2 x^3, our own choice. */
const shape = (x: number): number => x * x * (3 - 2 * x);

describe('at its own speed', () => {
  const [left, right] = [noise(1000, 1), noise(1000, 2)];
  const stereo = { rate: 48000, channels: [left, right] };

  it('gives the file sample by sample from the frame of the edge on, 10 V at full scale, and silence before and after', async () => {
    const out = await play(stereo, { frames: 1500, inputs: { play: gateSignal([137, 140]) } });
    for (let n = 0; n < 1500; n++) {
      const [l, r] = n < 137 || n >= 1137 ? [0, 0] : [left[n - 137]!, right[n - 137]!];
      expect(out.left![n], `left ${n}`).toBe(Math.fround(10 * l) + 0);
      expect(out.right![n], `right ${n}`).toBe(Math.fround(10 * r) + 0);
    }
  });

  it('plays on when the gate falls, and needs an edge to start', async () => {
    const held = await play(stereo, { frames: 3000, inputs: { play: 8 } });
    const short = await play(stereo, { frames: 3000, inputs: { play: gateSignal([0, 1]) } });
    expect(held.left).toEqual(short.left);
    expect(edgesOf(held.end!)).toEqual([1000]);
    const unpatched = await play(stereo, { frames: 500 });
    expect(unpatched.left!.every((volts) => volts === 0)).toBe(true);
  });

  it('plays a mono file on both sides', async () => {
    const out = await play({ rate: 48000, channels: [left] }, { frames: 500, inputs: { play: 8 } });
    expect(out.right).toEqual(out.left);
    expect(out.left![7]).toBe(Math.fround(10 * left[7]!));
  });

  it('is silent without a file, whatever its inputs do', async () => {
    const out = await runKernel(spec, { frames: 500, settings: { loop: true }, inputs: { play: clockSignal(50), pitch: 3, start: 2 } });
    for (const port of ['left', 'right', 'end']) expect(out[port]!.every((volts) => volts === 0)).toBe(true);
  });

  it('takes the gain in dB and keeps within the rails', async () => {
    const soft = await play(stereo, { frames: 500, inputs: { play: 8 }, settings: { gain: -20 } });
    for (let n = 0; n < 500; n++) expect(soft.left![n]).toBeCloseTo(left[n]!, 6);
    const loud = await play(stereo, { frames: 500, inputs: { play: 8 }, settings: { gain: 40 } });
    expect(Math.max(...loud.left!.map(Math.abs))).toBe(12);
  });
});

describe('the end', () => {
  it.each([
    // frames of the file, its rate, octaves, quality, frames until the end: ceil(frames of the file / its frames per engine frame)
    [44100, 44100, 0, 1, 48000],
    [44100, 44100, 0, 4, 192000],
    [44100, 44100, 1, 1, 24000],
    [48000, 48000, -1, 1, 96000],
    [1001, 48000, 1, 1, 501],
    [96001, 96000, 0, 1, 48001],
    [8000, 8000, 2, 1, 12000],
  ] as const)(
    'of %i frames at %i Hz, %i octaves up, quality %i, falls on frame %i exactly',
    async (frames, rate, octaves, quality, end) => {
      const out = await play(
        { rate, channels: [new Float32Array(frames).fill(0.1)] },
        { frames: end + 300 * quality, quality, inputs: { play: 8, pitch: octaves } },
      );
      expect(edgesOf(out.end!)).toEqual([end]);
      expect(out.end!.indexOf(0, end)).toBe(end + TRIGGER * quality);
    },
  );

  it('stays exact where the pitch moves on the way', async () => {
    // 100 frames at twice, then 100 at half the speed, then its own: 100 x 2 + 100 x 0.5 + the rest of 1000
    const out = await play(
      { rate: 48000, channels: [noise(1000)] },
      { frames: 1200, inputs: { play: 8, pitch: (n) => (n < 100 ? 1 : n < 200 ? -1 : 0) } },
    );
    expect(edgesOf(out.end!)).toEqual([950]);
  });

  it('lasts longer when another one falls due', async () => {
    const out = await play(
      { rate: 48000, channels: [noise(30)] },
      {
        frames: 200,
        inputs: { play: gateSignal([0, 5]) },
        settings: { loop: true },
        events: [{ frame: 70, setting: 'loop', value: false }],
      },
    );
    expect(edgesOf(out.end!)).toEqual([30]);
    expect(out.end!.indexOf(0, 30)).toBe(90 + TRIGGER);
  });
});

describe('start', () => {
  const sound = { rate: 48000, channels: [noise(1000)] };

  it.each([
    [0.25, undefined, 250],
    [0.25, 4, 750],
    [0.5, -4, 0],
    [0.1, -12, 0],
    [0.9, 12, 999],
    [1, undefined, 999],
    [0.1234, undefined, 123],
  ] as const)('at %f and %s V at its input begins at sample %i', async (start, volts, first) => {
    const inputs: Record<string, number> = volts === undefined ? {} : { start: volts };
    const { left, end } = await play(sound, { frames: 1200, inputs: { play: gateSignal([10, 20]), ...inputs }, settings: { start } });
    const share = (k: number): number => (first === 0 ? 1 : shape(Math.min(1, (k + 1) / FADE)));
    for (let k = 0; k < Math.min(300, 1000 - first); k++) {
      expect(left![10 + k], `frame ${k}`).toBeCloseTo(10 * share(k) * sound.channels[0]![first + k]!, 5);
    }
    expect(edgesOf(end!)).toEqual([10 + 1000 - first]);
  });
});

describe('an edge while it sounds', () => {
  const tone = { rate: 48000, channels: [sine(48000, 440)] };
  /** Highest step of the tone itself: 5 V x 2 pi f / rate. */
  const ownStep = (5 * 2 * Math.PI * 440) / 48000;

  it('starts anew on that frame and lets the old sound fade out over 1.5 ms', async () => {
    // After 27 frames the tone is at its crest.
    const at = 109 * 3 + 27;
    const { left } = await play(tone, { frames: 2000, inputs: { play: gateSignal([0, 5], [at, at + 5]) } });
    const own = tone.channels[0]!;
    for (let k = 0; k < 200; k++) {
      const old = k < FADE ? shape((FADE - 1 - k) / FADE) * own[at + k]! : 0;
      expect(left![at + k], `frame ${k}`).toBeCloseTo(10 * (own[k]! + old), 5);
    }
    // The steepest fade: 1.5 / FADE per frame. A cut would be a step of nearly 5 V.
    expect(largestStep(left!)).toBeLessThan(2 * ownStep + (5 * 1.5) / FADE);
    expect(Math.abs(left![at - 1]!)).toBeGreaterThan(4.8);
  });

  it('makes no step either when the edges come faster than the fades end', async () => {
    const { left } = await play(tone, { frames: 9000, inputs: { play: clockSignal(31) }, settings: { start: 0.3 } });
    expect(largestStep(left!)).toBeLessThan(1);
  });

  it('fades a start inside the file in', async () => {
    const { left } = await play(tone, { frames: 400, inputs: { play: gateSignal([100, 200]) }, settings: { start: 27 / 48000 } });
    expect(largestStep(left!)).toBeLessThan(ownStep + (5 * 1.5) / FADE);
  });
});

describe('in a loop', () => {
  it('follows the end with the start, and gives a trigger at each round', async () => {
    const wave = noise(100);
    const { left, end } = await play(
      { rate: 48000, channels: [wave] },
      { frames: 1000, inputs: { play: gateSignal([7, 9]) }, settings: { loop: true } },
    );
    for (let n = 7; n < 1000; n++) expect(left![n]).toBe(Math.fround(10 * wave[(n - 7) % 100]!) + 0);
    expect(edgesOf(end!)).toEqual([107, 207, 307, 407, 507, 607, 707, 807, 907]);
  });

  it('repeats from its start, not from the beginning of the file', async () => {
    const wave = noise(100);
    const { left } = await play(
      { rate: 48000, channels: [wave] },
      { frames: 900, inputs: { play: gateSignal([0, 9]) }, settings: { loop: true, start: 0.6 } },
    );
    for (let n = FADE; n < 900; n++) expect(left![n]).toBeCloseTo(10 * wave[60 + (n % 40)]!, 5);
  });

  it.each([-1.3, 0.37, 2.2])('a single cycle makes a steady tone, %f octaves from its own pitch, without a seam', async (octaves) => {
    const size = 16384;
    const wave = sine(100, 1);
    const { left } = await play(
      { rate: 48000, channels: [wave] },
      { frames: size + 5000, inputs: { play: 8, pitch: octaves }, settings: { loop: true } },
    );
    const hz = 480 * 2 ** Math.fround(octaves);
    const lines = createAnalyser(size, 'sevenTerm').amplitudes(left!, 5000);
    const bin = Math.round((hz * size) / 48000);
    const others = [...lines].filter((_, k) => k > 4 && Math.abs(k - bin) > 8);
    expect(20 * Math.log10(Math.max(...others) / lines[bin]!)).toBeLessThan(-90);
  });

  it('starts by itself with nothing patched to play, and plays to its end when it is switched off', async () => {
    const wave = noise(200);
    const { left, end } = await play(
      { rate: 48000, channels: [wave] },
      { frames: 1000, settings: { loop: true }, events: [{ frame: 450, setting: 'loop', value: false }] },
    );
    for (let n = 0; n < 1000; n++) expect(left![n]).toBe(n < 600 ? Math.fround(10 * wave[n % 200]!) + 0 : 0);
    expect(edgesOf(end!)).toEqual([200, 400, 600]);
  });

  it('takes up a moved start at the next round, behind a cross-fade', async () => {
    const tone = { rate: 48000, channels: [sine(4800, 30)] };
    const { left, end } = await play(tone, {
      frames: 9000,
      settings: { loop: true },
      events: [{ frame: 1000, setting: 'start', value: (1200 + 43) / 4800 }],
    });
    expect(edgesOf(end!)).toEqual([4800, 4800 + 4800 - 1243]);
    const own = (5 * 2 * Math.PI * 300) / 48000;
    // Round two begins elsewhere in the wave; the last sample and the new first one differ by volts.
    expect(Math.abs(10 * tone.channels[0]![1243]!)).toBeGreaterThan(4);
    expect(largestStep(left!, 1, 8000)).toBeLessThan(2 * own + (5 * 3) / FADE);
    for (let k = FADE; k < 400; k++) expect(left![4800 + k]).toBeCloseTo(10 * tone.channels[0]![1243 + k]!, 4);
  });

  it('holds together where it is shorter than a step: a loop of one sample is a steady voltage', async () => {
    const { left } = await play(
      { rate: 48000, channels: [Float32Array.of(0.1, 0.3)] },
      { frames: 600, inputs: { play: 8, pitch: 4.7 }, settings: { loop: true, start: 1 } },
    );
    for (let n = 200; n < 600; n++) expect(left![n]).toBeCloseTo(3, 3);
  });
});

describe('pitch', () => {
  it('goes up five octaves and no further', async () => {
    const sound = { rate: 48000, channels: [sine(48000, 30)] };
    const five = await play(sound, { frames: 2000, inputs: { play: 8, pitch: 5 } });
    const eleven = await play(sound, { frames: 2000, inputs: { play: 8, pitch: 11 } });
    expect(eleven.left).toEqual(five.left);
    expect(edgesOf(five.end!)).toEqual([1500]);
  });

  it('gives the same whether a steady pitch is a constant or a signal', async () => {
    const sound = { rate: 44100, channels: [noise(3000)] };
    for (const pitch of [0, 0.31, -2.2]) {
      const constant = renderTake(engineModule(), specs, patchOf(pitch, []), { seconds: 0.2, recordings: new Map([['fog', sound]]) });
      const fed = await play(sound, { frames: 9600, inputs: { play: 8, pitch } });
      expect(constant.left.every((x, n) => Math.abs(x - fed.left![n]! / 10) < 1e-6)).toBe(true);
    }
  });
});

/** A player that starts on frame 0 at a pitch, heard without change. */
function patchOf(pitch: number, more: Patch['cables'], recording = 'fog'): Patch {
  return {
    blocks: [
      { id: 'gate', type: 'attenuverter' },
      { id: 'pitch', type: 'attenuverter', settings: { gain: 0, offset: pitch } },
      { id: 'player', type: 'samplePlayer', settings: { recording } },
      { id: 'out', type: 'output', settings: { level: 0, dcBlock: false, ceiling: false } },
    ],
    cables: [
      { from: ['gate', 'out'], to: ['player', 'play'] },
      { from: ['pitch', 'out'], to: ['player', 'pitch'] },
      { from: ['player', 'left'], to: ['out', 'left'] },
      ...more,
    ],
  };
}

describe('another file in its place', () => {
  it('ends what sounds without a step and waits for the next edge', () => {
    const tone = { rate: 48000, channels: [sine(48000, 440)] };
    const other = { rate: 48000, channels: [noise(9000)] };
    const recordings = new Map([
      ['fog', tone],
      ['gulls', other],
    ]);
    const renderer = new TakeRenderer(engineModule(), specs, patchOf(0, []), { seconds: 1, recordings });
    const { engine, plan } = renderer;
    const loaded = new Map([
      ['fog', { address: engine.arenaStart, frames: 48000, rate: 48000 }],
      ['gulls', { address: engine.arenaStart + 48000 * 8, frames: 9000, rate: 48000 }],
    ]);
    const volts: number[] = [];
    const run = (chunks: number): void => {
      for (let i = 0; i < chunks; i++) {
        engine.exports.runFrames(128);
        volts.push(...engine.signal(swapped.signals.get('player.left') as number));
      }
    };
    let swapped = plan;
    run(9);
    expect(Math.abs(volts.at(-1)!)).toBeGreaterThan(1);
    swapped = compilePlan(patchOf(0, [], 'gulls'), engine.catalogue(specs), {
      rate: 48000,
      quality: 1,
      base: Math.ceil((plan.base + plan.totalBytes) / 64) * 64,
      previous: plan,
      recordings: loaded,
    });
    engine.reserve(swapped.base + swapped.totalBytes);
    engine.load(swapped);
    run(9);
    expect(largestStep(Float32Array.from(volts))).toBeLessThan(0.5);
    expect(volts.slice(-128).every((x) => x === 0)).toBe(true);
  });
});
