/**
 * Two-pole state-variable filter: 1, s, s^2 and s^2 + 1 over s^2 + k s + 1, with s in units of the pole frequency.
 * Two trapezoidal integrators with a prewarped gain g = tan(pi f / rate), solved without delay; with k >= 0 the states'
 * energy never grows by itself, however fast cutoff and resonance move.
 *
 * Damping: k = 2 (1 - resonance), and on the last hundredth of the way twice as steep, k = 2 (1 - r) - 2 max(0, r - 0.99),
 * so that it passes 0 at 0.995 and arrives at -0.02.
 *
 * Limiting: in a sustained oscillation low-pass and band-pass are a sine and a cosine, so lowpass^2 + bandpass^2 is steady.
 * What it exceeds 4.5 V squared by adds to the damping; k = -0.02 is balanced at 5 V. The added damping is steady too, hence
 * a clean sine, in tune. Below 4.5 V the filter is exactly linear.
 */
import { isHeld, rail, read, write } from '../../dsp/block';
import { clampFour, exp2Four, readFour } from '../../dsp/four';
import { tanBottom, tanTop } from '../../dsp/tan';
import { FilterPorts } from '../layouts.gen';

/** Volts squared up to which nothing is limited. */
const LINEAR: f64 = 4.5 * 4.5;
/** Damping per volt squared beyond: 0.02 at 5 V. */
const LIMITING: f64 = 0.02 / (5 * 5 - LINEAR);
/** Resonance from which on the damping falls twice as fast. */
const BEND: f32 = 0.99;
/** Where the damping is negative, a step of a microvolt at the input makes the filter oscillate. */
const KICK: f32 = 1e-6;
/** A constant far below hearing keeps the states clear of denormal numbers. */
const FLOOR: f64 = 1e-18;

@unmanaged
export class Filter extends FilterPorts {
  // coefficients
  base: f32; // pole frequency at 0 V, as pi f / rate
  lowest: f32;
  highest: f32;
  resonanceStep: f32; // resonance per volt
  // the last coefficients from held inputs, and what they came from
  heldOctaves: f32;
  heldResonance: f32;
  held1: f64;
  held2: f64;
  held3: f64;
  heldDamping: f64;
  heldOffset: f32;
  // state
  band: f64; // integrator behind the high-pass, volts
  low: f64; // integrator behind the band-pass, volts
  energy: f64; // lowpass^2 + bandpass^2 of the last frame
}

// Per frame of a range: 1, g and g^2 over 1 + g (g + k), then k, f64, and the input, f32; a little more for the last group's idle lanes.
const SPAN: i32 = 128 + 4;
const ONES = memory.data(SPAN * 8, 16);
const GAINS = memory.data(SPAN * 8, 16);
const SQUARES = memory.data(SPAN * 8, 16);
const DAMPINGS = memory.data(SPAN * 8, 16);
const SUMS = memory.data(SPAN * 4, 16);
/** Where an output goes that nothing reads. */
const NOWHERE = memory.data(128 * 4, 16);

export function update(block: Filter): void {
  const radians = Math.PI / block.sampleRate;
  block.base = <f32>(block.settingCutoff * radians);
  block.lowest = <f32>(16 * radians);
  block.highest = <f32>min(20000 * radians, 0.45 * Math.PI);
  block.resonanceStep = <f32>(block.settingResonanceAmount / 8);
  block.heldOctaves = NaN;
}

/** Solves two frames: g and k in lanes of f64. */
// @ts-ignore: decorator
@inline
function solve(at: usize, g: v128, k: v128): void {
  const one = f64x2.splat(1);
  const share = f64x2.div(one, f64x2.add(one, f64x2.mul(g, f64x2.add(g, k))));
  const gain = f64x2.mul(g, share);
  v128.store(ONES + at, share);
  v128.store(GAINS + at, gain);
  v128.store(SQUARES + at, f64x2.mul(g, gain));
  v128.store(DAMPINGS + at, k);
}

/** Coefficients of four frames into the arrays at byte offset `at`; the return value is added to the input. */
// @ts-ignore: decorator
@inline
function coefficients(at: usize, octaves: v128, moved: v128, base: v128, lowest: v128, highest: v128): v128 {
  const one = f32x4.splat(1),
    zero = f32x4.splat(0);
  const x = clampFour(f32x4.mul(base, exp2Four(octaves)), lowest, highest);
  const x2 = f32x4.mul(x, x);
  const g = f32x4.div(tanTop(x, x2), tanBottom(x2));
  const resonance = clampFour(moved, zero, one);
  const beyond = f32x4.pmax(f32x4.sub(resonance, f32x4.splat(BEND)), zero);
  const half = f32x4.sub(f32x4.sub(one, resonance), beyond);
  const k = f32x4.add(half, half);
  solve(at, f64x2.promote_low_f32x4(g), f64x2.promote_low_f32x4(k));
  solve(at + 16, f64x2.promote_low_f32x4(v128.shuffle<i64>(g, g, 1, 0)), f64x2.promote_low_f32x4(v128.shuffle<i64>(k, k, 1, 0)));
  return v128.bitselect(f32x4.splat(KICK), f32x4.splat(<f32>FLOOR), f32x4.lt(k, zero));
}

/** The coefficients of held inputs, worked out only when something has changed. Returns what is added to the input. */
function heldCoefficients(block: Filter, i: i32): f32 {
  const octaves =
    read(block.inputPitch, i) + <f32>block.settingCvAmount * read(block.inputCv, i) + <f32>block.settingCv2Amount * read(block.inputCv2, i);
  const resonance = <f32>block.settingResonance + block.resonanceStep * read(block.inputResonanceCv, i);
  if (octaves == block.heldOctaves && resonance == block.heldResonance) {
    store<f64>(ONES, block.held1);
    store<f64>(GAINS, block.held2);
    store<f64>(SQUARES, block.held3);
    store<f64>(DAMPINGS, block.heldDamping);
    return block.heldOffset;
  }
  const offset = coefficients(
    0,
    f32x4.splat(octaves),
    f32x4.splat(resonance),
    f32x4.splat(block.base),
    f32x4.splat(block.lowest),
    f32x4.splat(block.highest),
  );
  block.heldOctaves = octaves;
  block.heldResonance = resonance;
  block.held1 = load<f64>(ONES);
  block.held2 = load<f64>(GAINS);
  block.held3 = load<f64>(SQUARES);
  block.heldDamping = load<f64>(DAMPINGS);
  block.heldOffset = f32x4.extract_lane(offset, 0);
  return block.heldOffset;
}

export function process(block: Filter, from: i32, to: i32): void {
  const pitch = block.inputPitch,
    cv = block.inputCv,
    cv2 = block.inputCv2,
    resonanceCv = block.inputResonanceCv;
  const input = block.inputIn;
  const held = isHeld(pitch, to) && isHeld(cv, to) && isHeld(cv2, to) && isHeld(resonanceCv, to);
  const cvAmount = f32x4.splat(<f32>block.settingCvAmount),
    cv2Amount = f32x4.splat(<f32>block.settingCv2Amount);
  const resonance = f32x4.splat(<f32>block.settingResonance),
    resonanceStep = f32x4.splat(block.resonanceStep);
  const base = f32x4.splat(block.base),
    lowest = f32x4.splat(block.lowest),
    highest = f32x4.splat(block.highest);
  let offset = f32x4.splat(held ? heldCoefficients(block, from) : 0);
  for (let i = from, at: usize = 0; i < to; i += 4, at += 16) {
    if (!held) {
      const octaves = f32x4.add(
        f32x4.add(readFour(pitch, i, to), f32x4.mul(cvAmount, readFour(cv, i, to))),
        f32x4.mul(cv2Amount, readFour(cv2, i, to)),
      );
      const moved = f32x4.add(resonance, f32x4.mul(resonanceStep, readFour(resonanceCv, i, to)));
      offset = coefficients(at + at, octaves, moved, base, lowest, highest);
    }
    v128.store(SUMS + at, f32x4.add(readFour(input, i, to), offset));
  }
  recur(block, from, to, held ? 0 : 8);
}

/** The recursive part: coefficients `stride` bytes apart (0: the same for all frames). */
function recur(block: Filter, from: i32, to: i32, stride: usize): void {
  const lowpass = block.outputLowpass ? block.outputLowpass : NOWHERE;
  const bandpass = block.outputBandpass ? block.outputBandpass : NOWHERE;
  const highpass = block.outputHighpass ? block.outputHighpass : NOWHERE;
  const notch = block.outputNotch ? block.outputNotch : NOWHERE;
  let band = block.band,
    low = block.low,
    energy = block.energy;
  let at: usize = 0;
  let sum = SUMS;
  for (let i = from; i < to; i++) {
    const c1 = load<f64>(ONES + at),
      c2 = load<f64>(GAINS + at),
      c3 = load<f64>(SQUARES + at);
    const x = <f64>load<f32>(sum);
    const ahead = x - low;
    const bandVolts = c1 * band + c2 * ahead;
    const lowVolts = low + (c2 * band + c3 * ahead);
    const keep = 1 - min(0.5, 2 * LIMITING * c2 * max(0, energy - LINEAR));
    band = 2 * keep * bandVolts - (keep * band - FLOOR);
    low = lowVolts + lowVolts - low;
    energy = bandVolts * bandVolts + lowVolts * lowVolts;
    const notchVolts = x - load<f64>(DAMPINGS + at) * bandVolts;
    write(lowpass, i, rail(<f32>lowVolts));
    write(bandpass, i, rail(<f32>bandVolts));
    write(highpass, i, rail(<f32>(notchVolts - lowVolts)));
    write(notch, i, rail(<f32>notchVolts));
    at += stride;
    sum += 4;
  }
  block.band = band;
  block.low = low;
  block.energy = energy;
}
