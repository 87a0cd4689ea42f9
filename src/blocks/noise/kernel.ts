/**
 * White, pink and red noise. Each colour is made at the output rate, one value per output frame from numbered draws, so that the
 * values are the same at every quality; at quality 2, 4, 8 the frames between are interpolated with a windowed sinc of 24 points
 * (Kaiser, beta 6), flat within 0.01 dB to 0.41 of the output rate. The values lie on the output frames themselves: no delay.
 * Colours have streams of their own and share nothing.
 *
 * Pink: the sum of five one-pole low-passes and two direct terms, fitted by least squares to 1 / sqrt(f) within 0.09 dB from
 * 0.00005 to 0.46 of the output rate. Red: a one-pole low-pass at 10 Hz with two zeros that keep 6.02 dB per octave to 16 kHz.
 */
import { rail, write } from '../../dsp/block';
import { exp2 } from '../../dsp/exp2';
import { kaiser } from '../../dsp/kaiser';
import { drawBipolar, streamOf } from '../../dsp/random';
import { NoisePorts } from '../layouts.gen';

const PEAK: f64 = 5;
/** Points of the interpolation: output frames n - 11 to n + 12 make what lies between n and n + 1. */
const POINTS: i32 = 24;
const BEFORE: i32 = 11;
const AFTER: i32 = 12;
const KAISER_BETA: f64 = 6;
const MAX_QUALITY: i32 = 8;
/** Values that pink and red run ahead of their first use, so that they start at full level. */
const RUN_UP: i64 = 8192;

// pink: poles and gains for unit variance in and out
const POLE1: f64 = 0.9997533946736438;
const POLE2: f64 = 0.9984144798599353;
const POLE3: f64 = 0.9904043905354123;
const POLE4: f64 = 0.9442362037837327;
const POLE5: f64 = 0.7112540737038918;
const GAIN1: f64 = 0.0076970254363615855;
const GAIN2: f64 = 0.012802255908075034;
const GAIN3: f64 = 0.03030599261828272;
const GAIN4: f64 = 0.07234746339536535;
const GAIN5: f64 = 0.16908824300879577;
const DIRECT0: f64 = 0.20991672779102952;
const DIRECT1: f64 = 0.05555567631462867;

// red: corner in hertz, zeros
const RED_CORNER: f64 = 10;
const RED_ZERO1: f64 = 0.1548;
const RED_ZERO2: f64 = -0.01456;

@unmanaged
export class Noise extends NoisePorts {
  // coefficients
  redPole: f64;
  redGain: f64;
  // state
  frame: i64; // engine frames done
  pinkDue: i64; // number of the next pink value
  redDue: i64;
  pink1: f64;
  pink2: f64;
  pink3: f64;
  pink4: f64;
  pink5: f64;
  pinkWhite: f64;
  red: f64;
  redBefore: f64;
  pinkPast0: v128; // the last 24 pink values, f32
  pinkPast1: v128;
  pinkPast2: v128;
  pinkPast3: v128;
  pinkPast4: v128;
  pinkPast5: v128;
  redPast0: v128; // the last 24 red values, f32
  redPast1: v128;
  redPast2: v128;
  redPast3: v128;
  redPast4: v128;
  redPast5: v128;
}

/** Interpolation weights by phase: `MAX_QUALITY` rows of 24 f32. */
const WEIGHTS = memory.data(MAX_QUALITY * POINTS * 4, 16);
/** The values of one range at the output rate, with their neighbours: up to 128 + 24 f32. */
const VALUES = memory.data(160 * 4, 16);

/** Windowed sinc through the values themselves: 1 on its own output frame, 0 on all others. */
export function prepare(sampleRate: f64, quality: i32): void {
  for (let phase = 0; phase < quality; phase++) {
    for (let k = 0; k < POINTS; k++) {
      const t = <f64>phase / <f64>quality + <f64>(BEFORE - k); // distance in output frames
      const sinc = phase == 0 ? (k == BEFORE ? 1 : 0) : Math.sin(Math.PI * t) / (Math.PI * t);
      store<f32>(WEIGHTS + ((<usize>(phase * POINTS + k)) << 2), <f32>(sinc * kaiser(t / <f64>AFTER, KAISER_BETA)));
    }
  }
}

export function init(block: Noise): void {
  block.pinkDue = i64.MIN_VALUE / 2;
  block.redDue = i64.MIN_VALUE / 2;
}

export function update(block: Noise): void {
  const rate = block.sampleRate / <f64>block.quality;
  const a = exp2((-2 * Math.PI * Math.LOG2E * RED_CORNER) / rate);
  const second = a + RED_ZERO1;
  const third = a * second + RED_ZERO2;
  block.redPole = a;
  block.redGain = 1 / Math.sqrt(1 + second * second + (third * third) / (1 - a * a)); // unit variance in and out
}

/** Next pink value from the white value `x`. */
// @ts-ignore: decorator
@inline
function nextPink(block: Noise, x: f64): f64 {
  block.pink1 = POLE1 * block.pink1 + GAIN1 * x;
  block.pink2 = POLE2 * block.pink2 + GAIN2 * x;
  block.pink3 = POLE3 * block.pink3 + GAIN3 * x;
  block.pink4 = POLE4 * block.pink4 + GAIN4 * x;
  block.pink5 = POLE5 * block.pink5 + GAIN5 * x;
  const y = block.pink1 + block.pink2 + block.pink3 + (block.pink4 + block.pink5) + (DIRECT0 * x + DIRECT1 * block.pinkWhite);
  block.pinkWhite = x;
  return y;
}

/** Next red value from the white value `x`. */
// @ts-ignore: decorator
@inline
function nextRed(block: Noise, x: f64): f64 {
  const s = block.redPole * block.red + x;
  const y = block.redGain * (s + RED_ZERO1 * block.red + RED_ZERO2 * block.redBefore);
  block.redBefore = block.red;
  block.red = s;
  return y;
}

function whiteValues(block: Noise, first: i64, last: i64): void {
  const stream = streamOf(block.seed, 0);
  let at = VALUES;
  for (let n = first; n <= last; n++, at += 4) store<f32>(at, <f32>(PEAK * drawBipolar(stream, n)));
}

function pinkValues(block: Noise, first: i64, last: i64): void {
  const stream = streamOf(block.seed, 1);
  if (block.pinkDue <= first + POINTS - 2) {
    // not read before, or not for a while
    block.pink1 = block.pink2 = block.pink3 = block.pink4 = block.pink5 = block.pinkWhite = 0;
    block.pinkDue = first - RUN_UP;
    for (; block.pinkDue < first; block.pinkDue++) nextPink(block, PEAK * drawBipolar(stream, block.pinkDue));
  }
  let at = startOfNew(block, offsetof<Noise>('pinkPast0'), first, block.pinkDue);
  for (; block.pinkDue <= last; block.pinkDue++, at += 4) store<f32>(at, <f32>nextPink(block, PEAK * drawBipolar(stream, block.pinkDue)));
  keepPast(block, offsetof<Noise>('pinkPast0'), at);
}

function redValues(block: Noise, first: i64, last: i64): void {
  const stream = streamOf(block.seed, 2);
  if (block.redDue <= first + POINTS - 2) {
    block.red = block.redBefore = 0;
    block.redDue = first - RUN_UP;
    for (; block.redDue < first; block.redDue++) nextRed(block, PEAK * drawBipolar(stream, block.redDue));
  }
  let at = startOfNew(block, offsetof<Noise>('redPast0'), first, block.redDue);
  for (; block.redDue <= last; block.redDue++, at += 4) store<f32>(at, <f32>nextRed(block, PEAK * drawBipolar(stream, block.redDue)));
  keepPast(block, offsetof<Noise>('redPast0'), at);
}

/** Puts the values first..due-1 from the past in front; returns where value `due` goes. */
function startOfNew(block: Noise, past: usize, first: i64, due: i64): usize {
  const known = <usize>(due - first);
  memory.copy(VALUES, changetype<usize>(block) + past + ((<usize>POINTS - known) << 2), known << 2);
  return VALUES + (known << 2);
}

/** Keeps the 24 values in front of `end`. */
function keepPast(block: Noise, past: usize, end: usize): void {
  memory.copy(changetype<usize>(block) + past, end - ((<usize>POINTS) << 2), (<usize>POINTS) << 2);
}

/** Writes frames from..to-1 from the values; `phase` is the first frame's place between two output frames. */
function interpolate(out: usize, from: i32, to: i32, phase: i32, quality: i32): void {
  let at = VALUES;
  if (quality == 1) {
    for (let i = from; i < to; i++, at += 4) write(out, i, rail(load<f32>(at, BEFORE * 4)));
    return;
  }
  for (let i = from; i < to; i++) {
    const row = WEIGHTS + ((<usize>(phase * POINTS)) << 2);
    const a = f32x4.add(f32x4.mul(v128.load(at), v128.load(row)), f32x4.mul(v128.load(at, 16), v128.load(row, 16)));
    const b = f32x4.add(f32x4.mul(v128.load(at, 32), v128.load(row, 32)), f32x4.mul(v128.load(at, 48), v128.load(row, 48)));
    const c = f32x4.add(f32x4.mul(v128.load(at, 64), v128.load(row, 64)), f32x4.mul(v128.load(at, 80), v128.load(row, 80)));
    const sum = f32x4.add(f32x4.add(a, b), c);
    const half = f32x4.extract_lane(sum, 0) + f32x4.extract_lane(sum, 1);
    write(out, i, rail(half + (f32x4.extract_lane(sum, 2) + f32x4.extract_lane(sum, 3))));
    phase++;
    if (phase == quality) {
      phase = 0;
      at += 4;
    }
  }
}

export function process(block: Noise, from: i32, to: i32): void {
  const quality = block.quality;
  const firstFrame = block.frame / <i64>quality;
  const lastFrame = (block.frame + <i64>(to - from - 1)) / <i64>quality;
  const phase = <i32>(block.frame % <i64>quality);
  const first = firstFrame - <i64>BEFORE;
  const last = lastFrame + <i64>AFTER;
  if (block.outputWhite) {
    whiteValues(block, first, last);
    interpolate(block.outputWhite, from, to, phase, quality);
  }
  if (block.outputPink) {
    pinkValues(block, first, last);
    interpolate(block.outputPink, from, to, phase, quality);
  }
  if (block.outputRed) {
    redValues(block, first, last);
    interpolate(block.outputRed, from, to, phase, quality);
  }
  block.frame += <i64>(to - from);
}
