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
import { isHeld, rail, sloped, write } from '../../dsp/block';
import { exp2, exp2Pair } from '../../dsp/exp2';
import { clampPair, readBoth, readPair } from '../../dsp/pair';
import { softClip } from '../../dsp/softClip';
import { tanBottom, tanTop } from '../../dsp/tan';
import { LadderPorts } from '../layouts.gen';

/** Volts at which the input stage limits. */
const LIMIT: f64 = 10;
/** Feedback per unit of resonance: k = 4, where oscillation starts, at 0.95. */
const FEEDBACK: f64 = 4 / 0.95;
/** Where the loop can oscillate, a step of this many volts at its input makes it: about a microvolt of oscillation. */
const KICK: f64 = 5e-6;
const ONSET: f64 = 3.99;
/** Elsewhere a constant far below hearing keeps the states clear of denormal numbers. */
const FLOOR: f64 = 1e-18;
/** log2(10) / 20: octaves of gain per decibel. */
const DECIBEL: f64 = 0.16609640474436813;

@unmanaged export class Ladder extends LadderPorts {
  // coefficients
  base: f64; // pole frequency at 0 V, as pi f / rate
  lowest: f64;
  highest: f64;
  gain: f64; // drive
  resonanceStep: f64; // resonance per volt
  // the last coefficients from held inputs, and the volts they belong to
  heldPitch: f64;
  heldCv: f64;
  heldCv2: f64;
  heldResonance: f64;
  heldG: f64;
  heldScale: f64;
  heldFeedback: f64;
  heldOffset: f64;
  // state: the four integrators, in volts
  s1: f64;
  s2: f64;
  s3: f64;
  s4: f64;
}

// Per frame of a range: G, 1 / (1 + k G^4), k / (1 + k G^4), and the scaled input; one frame more for the last pair's idle lane.
const SPAN: i32 = 130 * 8;
const POLES = memory.data(SPAN, 16);
const SCALES = memory.data(SPAN, 16);
const FEEDBACKS = memory.data(SPAN, 16);
const SUMS = memory.data(SPAN, 16);
/** Where an output goes that nothing reads. */
const NOWHERE = memory.data(128 * 4, 16);

export function update(block: Ladder): void {
  const radians = Math.PI / block.sampleRate;
  block.base = block.settingCutoff * radians;
  block.lowest = 16 * radians;
  block.highest = min(20000 * radians, 0.45 * Math.PI);
  block.gain = exp2(block.settingDrive * DECIBEL);
  block.resonanceStep = block.settingResonanceAmount / 8;
  block.heldPitch = NaN;
}

/** Coefficients of two frames into the arrays at byte offset `at`; the return value is what the loop is fed with besides the input. */
// @ts-ignore: decorator
@inline
function coefficients(block: Ladder, at: usize, pitch: v128, cv: v128, cv2: v128, resonanceCv: v128): v128 {
  const octaves = f64x2.add(
    f64x2.add(pitch, f64x2.mul(f64x2.splat(block.settingCvAmount), cv)),
    f64x2.mul(f64x2.splat(block.settingCv2Amount), cv2),
  );
  const x = clampPair(f64x2.mul(f64x2.splat(block.base), exp2Pair(octaves)), block.lowest, block.highest);
  const x2 = f64x2.mul(x, x);
  const top = tanTop(x, x2);
  const pole = f64x2.div(top, f64x2.add(top, tanBottom(x2)));
  const pole2 = f64x2.mul(pole, pole);
  const bent = f64x2.add(f64x2.splat(block.settingResonance), f64x2.mul(f64x2.splat(block.resonanceStep), resonanceCv));
  const k = f64x2.mul(f64x2.splat(FEEDBACK), clampPair(bent, 0, 1));
  const scale = f64x2.div(f64x2.splat(1), f64x2.add(f64x2.splat(1), f64x2.mul(k, f64x2.mul(pole2, pole2))));
  v128.store(POLES + at, pole);
  v128.store(SCALES + at, scale);
  v128.store(FEEDBACKS + at, f64x2.mul(k, scale));
  return v128.bitselect(f64x2.splat(KICK), f64x2.splat(FLOOR), f64x2.ge(k, f64x2.splat(ONSET)));
}

/** The coefficients of held inputs, worked out only when a volt or a setting has changed. Returns what the loop is fed with. */
function heldCoefficients(block: Ladder, frame: i32): f64 {
  const pitch = readBoth(block.inputPitch, frame);
  const cv = readBoth(block.inputCv, frame);
  const cv2 = readBoth(block.inputCv2, frame);
  const resonanceCv = readBoth(block.inputResonanceCv, frame);
  const sameCutoff = f64x2.extract_lane(pitch, 0) == block.heldPitch && f64x2.extract_lane(cv, 0) == block.heldCv
    && f64x2.extract_lane(cv2, 0) == block.heldCv2;
  if (sameCutoff && f64x2.extract_lane(resonanceCv, 0) == block.heldResonance) {
    store<f64>(POLES, block.heldG);
    store<f64>(SCALES, block.heldScale);
    store<f64>(FEEDBACKS, block.heldFeedback);
    return block.heldOffset;
  }
  block.heldOffset = f64x2.extract_lane(coefficients(block, 0, pitch, cv, cv2, resonanceCv), 0);
  block.heldG = load<f64>(POLES);
  block.heldScale = load<f64>(SCALES);
  block.heldFeedback = load<f64>(FEEDBACKS);
  block.heldPitch = f64x2.extract_lane(pitch, 0);
  block.heldCv = f64x2.extract_lane(cv, 0);
  block.heldCv2 = f64x2.extract_lane(cv2, 0);
  block.heldResonance = f64x2.extract_lane(resonanceCv, 0);
  return block.heldOffset;
}

/** Input gain of frames i and i + 1 while the drive glides. */
function glidingGain(block: Ladder, i: i32): v128 {
  const first = sloped(block, block.settingDrive, block.slopeDrive, i);
  const second = sloped(block, block.settingDrive, block.slopeDrive, i + 1);
  return exp2Pair(f64x2.mul(f64x2.splat(DECIBEL), f64x2.replace_lane(f64x2.splat(first), 1, second)));
}

export function process(block: Ladder, from: i32, to: i32): void {
  const pitch = block.inputPitch, cv = block.inputCv, cv2 = block.inputCv2, resonanceCv = block.inputResonanceCv;
  const input = block.inputIn;
  const held = isHeld(pitch, to) && isHeld(cv, to) && isHeld(cv2, to) && isHeld(resonanceCv, to);
  const stride: usize = held ? 0 : 8;
  const gliding = block.slopeDrive != 0;
  let gain = f64x2.splat(block.gain);
  let offset = held ? f64x2.splat(heldCoefficients(block, from)) : gain;
  let scale = held ? f64x2.splat(load<f64>(SCALES)) : gain;
  for (let i = from, at: usize = 0; i < to; i += 2, at += 16) {
    if (!held) {
      offset = coefficients(block, at, readPair(pitch, i, to), readPair(cv, i, to), readPair(cv2, i, to), readPair(resonanceCv, i, to));
      scale = v128.load(SCALES + at);
    }
    if (gliding) gain = glidingGain(block, i);
    v128.store(SUMS + at, f64x2.mul(f64x2.add(f64x2.mul(readPair(input, i, to), gain), offset), scale));
  }
  recur(block, from, to, stride);
}

/** The recursive part: coefficients `stride` bytes apart (0: the same for all frames). */
function recur(block: Ladder, from: i32, to: i32, stride: usize): void {
  const four = block.outputLowpass24 ? block.outputLowpass24 : NOWHERE;
  const two = block.outputLowpass12 ? block.outputLowpass12 : NOWHERE;
  let s1 = block.s1, s2 = block.s2, s3 = block.s3, s4 = block.s4;
  let at: usize = 0;
  let sum = SUMS;
  for (let i = from; i < to; i++) {
    const g = load<f64>(POLES + at), feedback = load<f64>(FEEDBACKS + at);
    const rest = 1 - g, g2 = g * g;
    const fed = feedback * rest, fed1 = fed * g, fed2 = fed * g2;
    const v = load<f64>(sum) - ((fed * s4 + fed1 * s3) + (fed2 * s2 + fed2 * g * s1));
    // what each stage would put out without u, so that little is left to do once u is known
    const p1 = rest * s1;
    const p2 = g * p1 + rest * s2;
    const p3 = g * p2 + rest * s3;
    const p4 = g * p3 + rest * s4;
    const u = softClip(v, LIMIT);
    const u2 = 2 * u;
    const g3 = g2 * g, g4 = g2 * g2;
    s1 = (p1 + p1 - s1) + g * u2;
    s2 = (p2 + p2 - s2) + g2 * u2;
    s3 = (p3 + p3 - s3) + g3 * u2;
    s4 = (p4 + p4 - s4) + g4 * u2;
    write(two, i, rail(<f32>(p2 + g2 * u)));
    write(four, i, rail(<f32>(p4 + g4 * u)));
    at += stride;
    sum += 8;
  }
  block.s1 = s1;
  block.s2 = s2;
  block.s3 = s3;
  block.s4 = s4;
}
