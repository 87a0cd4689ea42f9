/**
 * From the engine rate down to the output rate (AssemblyScript): one half-band FIR stage per factor of two.
 *
 * A half-band filter's response at f and at (stage rate / 2 - f) add up to 1, all its even taps but the centre are zero,
 * and it is linear-phase. The last stage passes 0..P and stops from `rate - P` on, with P = 20 kHz (or a third of the rate,
 * if that is more): what aliases can only land above P. The earlier stages, at higher rates, must stop everything
 * that would fold below `rate - P`, so that each frequency from `rate - P` upward is down by the full amount.
 *
 * Stage output m is centred on stage input 2m - 2(pairs - 1): with an odd half length the delay of a stage is even,
 * and `pairs` of the early stages is chosen so that the whole chain delays by whole output frames.
 */
import { kaiser } from '../../dsp/kaiser';

/**
 * Design attenuation in dB; the passband ripple of a half-band filter equals its stopband ripple. Early stages are short
 * and cost little: they stay well below the last one, because what they let through adds up.
 */
const ATTENUATION: f64 = 112;
const EARLY_ATTENUATION: f64 = 120;
/** Most non-zero taps on one side of a stage. */
const MOST_PAIRS: i32 = 48;
/** Most output frames of a stage in one pass. */
const PASS: i32 = 64;

/** State: count of waiting frames, 8 waiting frames, then per stage the odd and the even input frames. */
const WAITING: usize = 16;
const STAGES_AT: usize = 64;
const ODD_FRAMES: usize = <usize>(2 * MOST_PAIRS + PASS);
const STAGE_BYTES: usize = (ODD_FRAMES + <usize>(MOST_PAIRS + PASS)) << 2;

const COEFFICIENTS = memory.data(576, 16); // 3 stages x MOST_PAIRS f32
const PAIRS = memory.data(16, 16);
const BETWEEN = memory.data(256, 16); // PASS f32

let stages: i32 = 0;
let factor: i32 = 1;
let delay: i32 = 0;

/** Bytes of state per channel, all zero at the start. */
export function decimatorBytes(quality: i32): u32 {
  let count = 0;
  for (let q = quality; q > 1; q >>= 1) count++;
  return <u32>(STAGES_AT + <usize>count * STAGE_BYTES);
}

/** Delay in output frames: after compensation, output frame n is centred on engine frame n x quality. */
export function decimatorDelay(): i32 {
  return delay;
}

/** Pairs of taps that a stage needs, from its transition band relative to its input rate (Kaiser's estimate of the length). */
function pairsFor(transition: f64, attenuation: f64): i32 {
  const length = (attenuation - 7.95) / (14.36 * transition) + 1;
  return max(2, min(MOST_PAIRS - 3, <i32>Math.ceil((length + 1) / 4)));
}

/** Windowed half-band taps at odd distances 1, 3, 5...; both sides sum to 1/2, so that direct voltage passes unchanged. */
function design(stage: i32, pairs: i32, attenuation: f64): void {
  const beta = 0.1102 * (attenuation - 8.7);
  const at = COEFFICIENTS + ((<usize>(stage * MOST_PAIRS)) << 2);
  let sum: f64 = 0;
  for (let j = 0; j < pairs; j++) sum += tap(j, pairs, beta);
  for (let j = 0; j < pairs; j++) store<f32>(at + ((<usize>j) << 2), <f32>((0.25 * tap(j, pairs, beta)) / sum));
  store<i32>(PAIRS + ((<usize>stage) << 2), pairs);
}

function tap(j: i32, pairs: i32, beta: f64): f64 {
  const distance: f64 = 2 * <f64>j + 1;
  const sinc = ((j & 1) == 0 ? 1 : -1) / (Math.PI * distance);
  return sinc * kaiser(distance / (2 * <f64>pairs), beta);
}

/** Designs the chain: `rate` is the output rate in Hz, `quality` 1, 2, 4 or 8. */
export function prepareDecimator(rate: f64, quality: i32): void {
  factor = quality;
  stages = 0;
  delay = 0;
  if (quality < 2) return;
  for (let q = quality; q > 1; q >>= 1) stages++;
  const pass = max(rate / 3, min(20000, rate * 0.4536));
  const stop = rate - pass;
  // Stage 0 is the first in the signal's way, at the highest rate.
  let engineDelay = 0;
  let lowerRate = rate * <f64>quality;
  for (let stage = 0; stage < stages; stage++) {
    const inputRate = lowerRate;
    lowerRate *= 0.5;
    const last = stage == stages - 1;
    // Early stages pass 0..stop and stop what folds there; their transition is symmetrical about a quarter of their rate.
    const attenuation = last ? ATTENUATION : EARLY_ATTENUATION;
    let pairs = pairsFor((lowerRate - 2 * (last ? pass : stop)) / inputRate, attenuation);
    // The delay up to here must be a whole number of this stage's output pairs: 2^(stage + 2) engine frames.
    if (!last) while (((engineDelay + (pairs - 1) * (2 << stage)) & ((4 << stage) - 1)) != 0) pairs++;
    engineDelay += (pairs - 1) * (2 << stage);
    design(stage, pairs, attenuation);
  }
  delay = engineDelay / quality;
}

/** Moves `count` frames to the front. */
// @ts-ignore: decorator
@inline
function keep(buffer: usize, from: i32, count: i32): void {
  memory.copy(buffer, buffer + ((<usize>from) << 2), (<usize>count) << 2);
}

/** One stage: 2 x count frames in, count (1..PASS) frames out. Wide and single lanes add in the same order: the same bits. */
function runStage(state: usize, stage: i32, input: usize, count: i32, output: usize): void {
  const pairs = load<i32>(PAIRS + ((<usize>stage) << 2));
  const taps = COEFFICIENTS + ((<usize>(stage * MOST_PAIRS)) << 2);
  const odd = state + STAGES_AT + <usize>stage * STAGE_BYTES;
  const even = odd + (ODD_FRAMES << 2);
  const oddNew = odd + ((<usize>(2 * pairs - 1)) << 2);
  const evenNew = even + ((<usize>(pairs - 1)) << 2);
  let i = 0;
  for (; i + 4 <= count; i += 4) {
    const at = (<usize>i) << 2;
    const a = v128.load(input + (at << 1));
    const b = v128.load(input + (at << 1), 16);
    v128.store(evenNew + at, v128.shuffle<f32>(a, b, 0, 2, 4, 6));
    v128.store(oddNew + at, v128.shuffle<f32>(a, b, 1, 3, 5, 7));
  }
  for (; i < count; i++) {
    const at = (<usize>i) << 2;
    store<f32>(evenNew + at, load<f32>(input + (at << 1)));
    store<f32>(oddNew + at, load<f32>(input + (at << 1), 4));
  }
  // Frame i takes odd frames i+pairs-1-j and i+pairs+j of the buffer, j = 0.., and half of even frame i.
  const middle = odd + ((<usize>pairs) << 2);
  const half = f32x4.splat(0.5);
  i = 0;
  for (; i + 8 <= count; i += 8) {
    const at = (<usize>i) << 2;
    let sumA = f32x4.mul(half, v128.load(even + at));
    let sumB = f32x4.mul(half, v128.load(even + at, 16));
    let before = middle + at - 4;
    let after = middle + at;
    for (let j = 0; j < pairs; j++) {
      const h = v128.load_splat<f32>(taps + ((<usize>j) << 2));
      sumA = f32x4.add(sumA, f32x4.mul(h, f32x4.add(v128.load(before), v128.load(after))));
      sumB = f32x4.add(sumB, f32x4.mul(h, f32x4.add(v128.load(before, 16), v128.load(after, 16))));
      before -= 4;
      after += 4;
    }
    v128.store(output + at, sumA);
    v128.store(output + at, sumB, 16);
  }
  for (; i < count; i++) {
    const at = (<usize>i) << 2;
    let sum: f32 = 0.5 * load<f32>(even + at);
    let before = middle + at - 4;
    let after = middle + at;
    for (let j = 0; j < pairs; j++) {
      sum += load<f32>(taps + ((<usize>j) << 2)) * (load<f32>(before) + load<f32>(after));
      before -= 4;
      after += 4;
    }
    store<f32>(output + at, sum);
  }
  keep(odd, count, 2 * pairs - 1);
  keep(even, count, pairs - 1);
}

/** The whole chain over a multiple of `factor` frames, at most 2 x PASS. */
function runChain(state: usize, input: usize, frames: i32, output: usize): void {
  let from = input;
  let count = frames;
  for (let stage = 0; stage < stages; stage++) {
    count >>= 1;
    const to = stage == stages - 1 ? output : BETWEEN;
    runStage(state, stage, from, count, to);
    from = to;
  }
}

/**
 * Takes any number of engine frames and writes an output frame for each `quality` of them that are complete.
 * Returns the output frames written. `state` is the channel's own; input and output may not overlap. [audio thread]
 */
export function decimate(state: usize, input: usize, frames: i32, output: usize): i32 {
  if (stages == 0) {
    memory.copy(output, input, (<usize>frames) << 2);
    return frames;
  }
  let at = 0;
  let written = 0;
  const waiting = load<i32>(state);
  if (waiting > 0) {
    const missing = min(factor - waiting, frames);
    memory.copy(state + WAITING + ((<usize>waiting) << 2), input, (<usize>missing) << 2);
    at = missing;
    if (waiting + missing < factor) {
      store<i32>(state, waiting + missing);
      return 0;
    }
    store<i32>(state, 0);
    runChain(state, state + WAITING, factor, output);
    written = 1;
  }
  while (frames - at >= factor) {
    const count = min(2 * PASS, ((frames - at) / factor) * factor);
    runChain(state, input + ((<usize>at) << 2), count, output + ((<usize>written) << 2));
    at += count;
    written += count / factor;
  }
  if (at < frames) {
    memory.copy(state + WAITING, input + ((<usize>at) << 2), (<usize>(frames - at)) << 2);
    store<i32>(state, frames - at);
  }
  return written;
}
