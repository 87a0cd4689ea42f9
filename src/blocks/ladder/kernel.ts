/**
 * Four-pole ladder low-pass, H(s) = 1 / ((1 + s)^4 + k) with s in units of the pole frequency, k = 4 resonance / 0.95
 * (Stilson and Smith 1996). Each pole is a trapezoidal integrator with a prewarped gain, the feedback has no delay.
 *
 * The sum of input and feedback meets a soft limit, everything behind it is linear. With G = g / (1 + g), g = tan(pi f / rate)
 * and the part of the output that is already known, p4, the sum is v = (x - k p4) / (1 + k G^4) as long as it stays straight,
 * and u = limit(v) goes into the first pole. This needs no iteration and still has no delay: v + k G^4 (v - u) = x - k y4 holds
 * at every instant, so u is a memoryless odd function of x - k y4, only a little softer than the limit itself at the highest
 * cutoffs. A memoryless odd function has no phase, hence self-oscillation stays where the poles are.
 */
import { isHeld, railAll, read, sloped } from '../../dsp/block';
import { gainOf } from '../../dsp/decibel';
import { clampFour, exp2Four, readFour } from '../../dsp/four';
import { CLIP_BYTES, fillClip, softClipPair } from '../../dsp/softClip';
import { tanBottom, tanTop } from '../../dsp/tan';
import { LADDER_CV, LADDER_CV2, LADDER_PITCH, LADDER_RESONANCECV, LadderPorts } from '../layouts.gen';

/** Volts at which the input stage limits. */
const LIMIT: f64 = 10;
/** Feedback per unit of resonance: k = 4, where oscillation starts, at 0.95. */
const FEEDBACK: f32 = 4 / 0.95;
/** Where the loop can oscillate, a step of this many volts at its input makes it: about a microvolt of oscillation. */
const KICK: f32 = 5e-6;
const ONSET: f32 = 3.99;
/** Elsewhere a constant far below hearing keeps the states clear of denormal numbers. */
const FLOOR: f32 = 1e-18;

@unmanaged
export class Ladder extends LadderPorts {
  // coefficients
  base: f32; // pole frequency at 0 V, as pi f / rate
  lowest: f32;
  highest: f32;
  gain: f32; // drive
  resonanceStep: f32; // resonance per volt
  // the last coefficients from held inputs, and what they came from
  heldOctaves: f32;
  heldResonance: f32;
  heldPole: f32;
  heldScale: f32;
  heldFeedback: f32;
  heldOffset: f32;
  // state: integrator n holds bn + 2 pole^n u volts, with the limited sum u and the pole G of the last frame
  b1: f64;
  b2: f64;
  b3: f64;
  b4: f64;
  u: f64;
  pole: f64;
}

// Per frame of a range: G, 1 / (1 + k G^4), k / (1 + k G^4), what is added to the input, f32; a little more for the last group's idle lanes.
const LANE: i32 = (128 + 4) * 4;
const LANES: i32 = LANE * 4;
const POLES = memory.data(LANES, 16);
const SCALES: usize = POLES + LANE;
const FEEDBACKS: usize = POLES + LANE * 2;
const OFFSETS: usize = POLES + LANE * 3;
const CLIP = memory.data(CLIP_BYTES, 16);
/** The scaled input of a range. */
const SUMS = memory.data(LANE, 16);
/** The same four arrays for the blocks of a loop that can look ahead, by their slots. */
const SLOTS: i32 = 16;
const LOOKED = memory.data(LANES * SLOTS, 16);

/** The soft limit's table. */
export function prepare(_sampleRate: f64, _quality: i32): void {
  fillClip(CLIP, LIMIT);
}

export function update(block: Ladder): void {
  const radians = Math.PI / block.sampleRate;
  block.base = <f32>(block.settingCutoff * radians);
  block.lowest = <f32>(16 * radians);
  block.highest = <f32>min(20000 * radians, 0.45 * Math.PI);
  block.gain = <f32>gainOf(block.settingDrive);
  block.resonanceStep = <f32>(block.settingResonanceAmount / 8);
  block.heldOctaves = NaN;
}

/** Coefficients of four frames into the arrays, the poles at `at`. */
// @ts-ignore: decorator
@inline
function coefficients(at: usize, octaves: v128, resonance: v128, base: v128, lowest: v128, highest: v128): void {
  const one = f32x4.splat(1);
  const x = clampFour(f32x4.mul(base, exp2Four(octaves)), lowest, highest);
  const x2 = f32x4.mul(x, x);
  const top = tanTop(x, x2);
  const pole = f32x4.div(top, f32x4.add(top, tanBottom(x2)));
  const pole2 = f32x4.mul(pole, pole);
  const k = f32x4.mul(f32x4.splat(FEEDBACK), clampFour(resonance, f32x4.splat(0), one));
  const scale = f32x4.div(one, f32x4.add(one, f32x4.mul(k, f32x4.mul(pole2, pole2))));
  v128.store(at, pole);
  v128.store(at + LANE, scale);
  v128.store(at + LANE * 2, f32x4.mul(k, scale));
  v128.store(at + LANE * 3, v128.bitselect(f32x4.splat(KICK), f32x4.splat(FLOOR), f32x4.ge(k, f32x4.splat(ONSET))));
}

/** The coefficients of held inputs, worked out only when something has changed. Returns what is added to the input. */
function heldCoefficients(block: Ladder, i: i32): f32 {
  const octaves =
    read(block.inputPitch, i) + <f32>block.settingCvAmount * read(block.inputCv, i) + <f32>block.settingCv2Amount * read(block.inputCv2, i);
  const resonance = <f32>block.settingResonance + block.resonanceStep * read(block.inputResonanceCv, i);
  if (octaves == block.heldOctaves && resonance == block.heldResonance) {
    store<f32>(POLES, block.heldPole);
    store<f32>(SCALES, block.heldScale);
    store<f32>(FEEDBACKS, block.heldFeedback);
    return block.heldOffset;
  }
  coefficients(
    POLES,
    f32x4.splat(octaves),
    f32x4.splat(resonance),
    f32x4.splat(block.base),
    f32x4.splat(block.lowest),
    f32x4.splat(block.highest),
  );
  block.heldOctaves = octaves;
  block.heldResonance = resonance;
  block.heldPole = load<f32>(POLES);
  block.heldScale = load<f32>(SCALES);
  block.heldFeedback = load<f32>(FEEDBACKS);
  block.heldOffset = load<f32>(OFFSETS);
  return block.heldOffset;
}

/** Input gain of one frame while the drive glides. */
function glidingGain(block: Ladder, i: i32): f32 {
  return <f32>gainOf(sloped(block, block.settingDrive, block.slopeDrive, i));
}

export function process(block: Ladder, from: i32, to: i32): void {
  const held = coefficientsHeld(block, to);
  const input = block.inputIn;
  const gliding = block.slopeDrive != 0;
  let gain = f32x4.splat(block.gain);
  let offset = f32x4.splat(0);
  let scale = offset;
  if (held) {
    offset = f32x4.splat(heldCoefficients(block, from));
    scale = f32x4.splat(load<f32>(SCALES));
  } else movingCoefficients(block, from, to, POLES);
  for (let i = from, at: usize = 0; i < to; i += 4, at += 16) {
    if (!held) {
      offset = v128.load(OFFSETS + at);
      scale = v128.load(SCALES + at);
    }
    if (gliding) gain = f32x4(glidingGain(block, i), glidingGain(block, i + 1), glidingGain(block, i + 2), glidingGain(block, i + 3));
    v128.store(SUMS + at, f32x4.mul(f32x4.add(f32x4.mul(readFour(input, i, to), gain), offset), scale));
  }
  recur(block, from, to, POLES, held ? 0 : 4);
}

/** In a loop: the coefficients of a whole chunk, where nothing they hang on comes from inside it. [audio thread] */
export function ahead(block: Ladder, frames: i32): void {
  const inside = (1 << LADDER_PITCH) | (1 << LADDER_CV) | (1 << LADDER_CV2) | (1 << LADDER_RESONANCECV);
  if ((block.inside & inside) != 0 || block.slot >= SLOTS || coefficientsHeld(block, frames)) block.slot = -1;
  else movingCoefficients(block, 0, frames, LOOKED + <usize>block.slot * LANES);
}

/** One frame of it, in a loop. [audio thread] */
export function tick(block: Ladder, i: i32, to: i32): void {
  let at = POLES;
  let offset: f32 = 0;
  if (block.slot >= 0) {
    at = LOOKED + <usize>block.slot * LANES + ((<usize>i) << 2);
    offset = load<f32>(at + (OFFSETS - POLES));
  } else offset = heldCoefficients(block, i);
  store<f32>(SUMS, (read(block.inputIn, i) * block.gain + offset) * load<f32>(at + (SCALES - POLES)));
  recur(block, i, to, at, 0);
}

// @ts-ignore: decorator
@inline
function coefficientsHeld(block: Ladder, to: i32): bool {
  return isHeld(block.inputPitch, to) && isHeld(block.inputCv, to) && isHeld(block.inputCv2, to) && isHeld(block.inputResonanceCv, to);
}

/** The coefficients of frames from..to-1, each array LANE bytes behind the one before, the poles at `at`. */
function movingCoefficients(block: Ladder, from: i32, to: i32, at: usize): void {
  const pitch = block.inputPitch,
    cv = block.inputCv,
    cv2 = block.inputCv2,
    resonanceCv = block.inputResonanceCv;
  const cvAmount = f32x4.splat(<f32>block.settingCvAmount),
    cv2Amount = f32x4.splat(<f32>block.settingCv2Amount);
  const resonance = f32x4.splat(<f32>block.settingResonance),
    resonanceStep = f32x4.splat(block.resonanceStep);
  const base = f32x4.splat(block.base),
    lowest = f32x4.splat(block.lowest),
    highest = f32x4.splat(block.highest);
  for (let i = from; i < to; i += 4, at += 16) {
    const octaves = f32x4.add(
      f32x4.add(readFour(pitch, i, to), f32x4.mul(cvAmount, readFour(cv, i, to))),
      f32x4.mul(cv2Amount, readFour(cv2, i, to)),
    );
    const moved = f32x4.add(resonance, f32x4.mul(resonanceStep, readFour(resonanceCv, i, to)));
    coefficients(at, octaves, moved, base, lowest, highest);
  }
}

/** The first lanes of two vectors. */
// @ts-ignore: decorator
@inline
function lows(a: v128, b: v128): v128 {
  return i64x2.shuffle(a, b, 0, 2);
}

/** An f32 in memory in both lanes, as f64. */
// @ts-ignore: decorator
@inline
function wide(at: usize): v128 {
  return f64x2.promote_low_f32x4(v128.load32_splat(at));
}

/** Half of the second lane: what a stage puts out is the mean of its integrator before and after. */
// @ts-ignore: decorator
@inline
function put(out: usize, twice: v128): void {
  v128.store32_lane(out, f32x4.demote_f64x2_zero(f64x2.mul(twice, f64x2.splat(0.5))), 1);
}

/**
 * The recursive part: coefficients from `at` on, `stride` bytes apart (0: the same for all frames). Two integrators to a vector. What
 * the last u does to this frame's v is one product, and all else is worked out beside it: the way from u to u is what takes the time.
 */
function recur(block: Ladder, from: i32, to: i32, at: usize, stride: usize): void {
  const four = block.outputLowpass24;
  const two = block.outputLowpass12;
  const place = changetype<usize>(block);
  const zero = f64x2.splat(0);
  const one = f64x2.splat(1);
  let b12 = v128.load(place, offsetof<Ladder>('b1'));
  let b34 = v128.load(place, offsetof<Ladder>('b3'));
  let u = f64x2.splat(block.u);
  let g = f64x2.splat(block.pole);
  let gg = f64x2.mul(g, g);
  let c12 = f64x2.mul(f64x2.add(g, g), lows(one, g));
  let c34 = f64x2.mul(c12, gg);
  let sum = SUMS;
  for (let i = from; i < to; i++) {
    g = wide(at);
    gg = f64x2.mul(g, g);
    const rest = f64x2.sub(one, g);
    const fed34 = f64x2.mul(f64x2.mul(wide(at + LANE * 2), rest), lows(g, one));
    const fed12 = f64x2.mul(fed34, gg);
    const still = f64x2.add(f64x2.mul(fed12, b12), f64x2.mul(fed34, b34));
    const slope = f64x2.add(f64x2.mul(fed12, c12), f64x2.mul(fed34, c34));
    const both = f64x2.add(lows(still, slope), i64x2.shuffle(still, slope, 1, 3));
    const v = f64x2.sub(f64x2.sub(wide(sum), i64x2.shuffle(both, both, 0, 0)), f64x2.mul(i64x2.shuffle(both, both, 1, 1), u));
    const s12 = f64x2.add(b12, f64x2.mul(c12, u));
    const s34 = f64x2.add(b34, f64x2.mul(c34, u));
    // without u stage n would put out pn = rest x (sn + G s(n-1) + G^2 s(n-2) + G^3 s(n-3)); bn = 2 pn - sn
    const k1 = f64x2.mul(f64x2.add(rest, rest), g);
    const k2 = f64x2.mul(k1, g);
    const k0 = f64x2.sub(rest, g);
    const s01 = lows(zero, s12);
    const s23 = i64x2.shuffle(s12, s34, 1, 2);
    const outer = f64x2.add(f64x2.mul(k2, s12), f64x2.mul(f64x2.mul(k1, gg), s01));
    b12 = f64x2.add(f64x2.mul(k0, s12), f64x2.mul(k1, s01));
    b34 = f64x2.add(f64x2.add(f64x2.mul(k0, s34), f64x2.mul(k1, s23)), outer);
    u = softClipPair(v, CLIP);
    c12 = f64x2.mul(f64x2.add(g, g), lows(one, g));
    c34 = f64x2.mul(c12, gg);
    const offset = (<usize>i) << 2;
    if (two != 0) put(two + offset, f64x2.add(f64x2.add(b12, s12), f64x2.mul(c12, u)));
    if (four != 0) put(four + offset, f64x2.add(f64x2.add(b34, s34), f64x2.mul(c34, u)));
    at += stride;
    sum += 4;
  }
  if (two != 0) railAll(two, from, to);
  if (four != 0) railAll(four, from, to);
  v128.store(place, b12, offsetof<Ladder>('b1'));
  v128.store(place, b34, offsetof<Ladder>('b3'));
  block.u = f64x2.extract_lane(u, 0);
  block.pole = f64x2.extract_lane(g, 0);
}
