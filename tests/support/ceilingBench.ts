/** The ceiling of the shipped engine by itself, signals that try it, and a second meter. */
import { createPartBench, cutsOf } from './enginePart.ts';

type Stretch = readonly [frames: number, on: boolean];

/** Both channels through the ceiling; `stretches` says where it is on. */
export function throughCeiling(
  rate: number,
  left: Float32Array,
  right: Float32Array,
  cuts: readonly number[] = [128],
  stretches: readonly Stretch[] = [[left.length, true]],
) {
  const bench = createPartBench();
  bench.parts.prepareCeiling(rate);
  const state = bench.room(bench.parts.CEILING_BYTES.value);
  const atLeft = bench.room(left.byteLength);
  const atRight = bench.room(left.byteLength);
  bench.frames(atLeft, left.length).set(left);
  bench.frames(atRight, left.length).set(right);
  let at = 0;
  for (const [frames, on] of stretches) {
    for (const length of cutsOf(frames, cuts)) {
      const run = on ? bench.parts.limit : bench.parts.delayOnly;
      run(state, atLeft + 4 * at, atRight + 4 * at, length);
      at += length;
    }
  }
  return {
    left: bench.frames(atLeft, left.length).slice(),
    right: bench.frames(atRight, left.length).slice(),
    delay: bench.parts.ceilingDelay(),
  };
}

/** Uniform in -1..1 from a seed. */
export function createNoise(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return state / 2 ** 31;
  };
}

/** `frames` of a signal with silence around it, so that its ends are heard as well. */
export function signalOf(frames: number, at: (n: number) => number): Float32Array {
  return Float32Array.from({ length: frames + 1500 }, (_, n) => (n >= 500 && n < frames + 500 ? at(n - 500) : 0));
}

/** Meter of ITU-R BS.1770-5 Annex 2: 48 taps in four phases, coefficients of its table. */
const annex2 = [
  [
    0.001708984375, 0.010986328125, -0.0196533203125, 0.033203125, -0.0594482421875, 0.1373291015625, 0.97216796875, -0.102294921875,
    0.047607421875, -0.026611328125, 0.014892578125, -0.00830078125,
  ],
  [
    -0.0291748046875, 0.029296875, -0.0517578125, 0.089111328125, -0.16650390625, 0.465087890625, 0.77978515625, -0.2003173828125,
    0.1015625, -0.0582275390625, 0.0330810546875, -0.0189208984375,
  ],
];
export function annex2Peak(samples: Float32Array): number {
  const phases = [...annex2, ...annex2.map((phase) => phase.toReversed())];
  let peak = 0;
  for (let n = 11; n < samples.length; n++) {
    for (const phase of phases) {
      let sum = 0;
      for (let k = 0; k < 12; k++) sum += (phase[k] as number) * (samples[n - k] as number);
      peak = Math.max(peak, Math.abs(sum));
    }
  }
  return peak;
}

/** Signals that are hard to keep below a true peak, at 48 kHz, full scale 1. Made anew at each call. */
export function nastySignals(): readonly (readonly [name: string, samples: Float32Array])[] {
  const frames = 24000;
  const white = createNoise(1);
  const bursts = createNoise(7);
  const burst = { amplitude: 0, hz: 0, length: 0 };
  const walk = createNoise(11);
  let place = 0;
  return [
    ['full-scale noise at 10 x', signalOf(frames, () => 10 * white())],
    ['noise a little over the ceiling', signalOf(frames, () => 1.1 * white())],
    ['steps', signalOf(frames, (n) => [3, -3, 0.2, 8, 0, -1][Math.floor(n / 1703) % 6] as number)],
    ['a sine at rate/4, sampled at 45 degrees', signalOf(frames, (n) => 1.4 * Math.sin((Math.PI / 2) * n + Math.PI / 4))],
    ['a loud sine at rate/6, sampled at 60 degrees', signalOf(frames, (n) => 4 * Math.sin((Math.PI / 3) * n + Math.PI / 3))],
    ['a loud sine near 19 kHz', signalOf(frames, (n) => 3 * Math.sin(2 * Math.PI * 0.3961 * n) * Math.min(1, n / 100, (frames - n) / 100))],
    [
      'bursts of any pitch and level',
      signalOf(frames, (n) => {
        if (n % 1200 === 0) {
          burst.amplitude = 1 + 9 * Math.abs(bursts());
          burst.hz = 20 * 900 ** Math.abs(bursts());
          burst.length = 1100 * Math.abs(bursts());
        }
        return n % 1200 < burst.length ? burst.amplitude * Math.sin((2 * Math.PI * burst.hz * n) / 48000) : 0;
      }),
    ],
    ['single frames', signalOf(frames, (n) => (n % 997 === 0 ? 5 * bursts() + 2 : 0))],
    ['a square wave', signalOf(frames, (n) => (Math.sin((2 * Math.PI * 1237.3 * n) / 48000) > 0 ? 5 : -5))],
    [
      'a random walk between the rails',
      signalOf(frames, () => {
        place = Math.max(-2.4, Math.min(2.4, place + 0.3 * walk()));
        return place;
      }),
    ],
    ['a slow loud swell', signalOf(frames, (n) => 3 * Math.sin((Math.PI * n) / frames) * Math.sin((2 * Math.PI * 55 * n) / 48000))],
  ];
}
