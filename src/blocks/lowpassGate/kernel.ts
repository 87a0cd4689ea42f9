/**
 * Low-pass gate: two light-dependent cells and two capacitors in the way of the sound, lit by one lamp.
 *
 * The cell is modelled after J. Parker and S. D'Angelo (a digital model of a low-pass gate, DAFx-13, Maynooth 2013):
 * its state y follows the light as a one-pole whose time constant differs for rise and fall and shortens where y is high, and its
 * resistance is A y^-1.4 + B.
 *   dy/dt = (light - y) (1 + 3 y) / T,  T = 12 ms going up, `decay` (0.25 s) going down
 * The structure and the exponent are the paper's. 12 ms, 250 ms and A = 3.464, B = 1136 ohm at a current in ampere, hence
 * A y^-1.4 : B = 1.92 : 1 with full light at 10 mA, are values from memory; the factor 3 is ours. Short decays take the rise down
 * with them: light is always answered ten times as fast as dark. After full light, dark: y / (1 + 3 y) = e^(-t / decay) / 4.
 *
 * Light = level + cvAmount x cv / 8 + flash, never below 0. The flash answers the rise of the strike input, as through a
 * capacitor: it begins at 1.85 x strike / 8 and dies away with the rise time, however long the strike stays up, so that
 * 8 V just bring the cell to full.
 *
 * The sound's way: in - cell - capacitor - cell - capacitor and load - out, trapezoidal and without delay. G = 1 / resistance.
 *   C dv1/dt = G (in - v1) - G (v1 - v2),  C dv2/dt = G (v1 - v2) - load v2
 * Filter: no load. Amplifier: a load as large as the open cell, no capacitors. Both: a tenth of that load, so that
 * brightness falls first and loudness with it. Loss through the load is made up for, so that the open gate has unity gain.
 * The network is passive: its capacitors never gain energy by themselves, however fast G moves.
 */
import { hold, isHeld, rail, read, sloped, vary, write } from '../../dsp/block';
import { exp2 } from '../../dsp/exp2';
import { tan } from '../../dsp/tan';
import { LowpassGatePorts } from '../layouts.gen';

const AMPLIFIER: f64 = 1;
const BOTH: f64 = 2;

/** Seconds of the rise, from dark. */
const RISE: f64 = 0.012;
/** The rise is at most this share of the decay. */
const RISE_SHARE: f64 = 0.06;
const SHORTEST: f64 = 0.02;
const LONGEST: f64 = 5;
/** How much faster a fully lit cell moves than a dark one, less 1. */
const HASTE: f64 = 3;
/** Exponent and share of the light-dependent part of the resistance, full light = 1. */
const EXPONENT: f64 = 1.4;
const SHARE: f64 = 1.92;
/** Light at the beginning of a flash per volt of strike. */
const FLASH: f64 = 1.85 / 8;
/** Stronger light changes nothing any more. */
const GLARE: f64 = 4;
/** A cell darker than this conducts nothing (-200 dB). */
const DARK: f64 = 1e-7;
/** -3 dB point of two equal sections 1 / (s^2 + 3 s + 1), in units of G / C. */
const CORNER: f64 = 0.37423966;
/** Each capacitor leaks with this corner in hertz, so that a closed gate forgets. */
const LEAK: f64 = 0.5;

/** Conductance over the square root of y, so that it starts smoothly: two lanes, value and step to the next. */
const STEPS: i32 = 1024;
const CONDUCTANCE = memory.data((STEPS + 2) * 8, 16);

@unmanaged
export class LowpassGate extends LowpassGatePorts {
  // coefficients
  fall: f64; // frames^-1, without control voltage
  fastest: f64;
  slowest: f64;
  quickest: f64; // rise, frames^-1
  k: f64; // tan(pi f / rate) of an open cell with its capacitor
  leak: f64;
  loaded: f64; // load, the open cell's conductance = 1
  norm: f64;
  amplifies: i32;
  // worked out from the cell's state last seen
  known: f64;
  c: f64; // k G
  b: f64; // 1 + k (G + load) + leak
  share: f64; // norm / determinant
  inverse: f64; // 1 / determinant
  // state
  y: f64; // light in the cell, 0..1
  coupled: f64; // voltage on the strike's capacitor
  flash: f64; // volts
  s1: f64; // capacitors
  s2: f64;
}

export function prepare(sampleRate: f64, quality: i32): void {
  for (let i = 0; i <= STEPS + 1; i++) {
    const root = <f64>i / STEPS;
    const light = root ** (2 * EXPONENT);
    store<f64>(CONDUCTANCE + ((<usize>i) << 3), ((1 + SHARE) * light) / (light + SHARE));
  }
}

export function update(block: LowpassGate): void {
  const rate = block.sampleRate;
  block.fall = 1 / (block.settingDecay * rate);
  block.fastest = 1 / (SHORTEST * rate);
  block.slowest = 1 / (LONGEST * rate);
  block.quickest = 1 / (RISE * rate);
  const corner = min<f64>(400 * exp2(5.643856189774724 * block.settingBrightness), 0.45 * rate);
  block.k = tan((Math.PI * corner) / rate) / CORNER;
  block.leak = (Math.PI * LEAK) / rate;
  block.amplifies = block.settingMode == AMPLIFIER ? 1 : 0;
  const load = block.settingMode == AMPLIFIER ? 1.0 : block.settingMode == BOTH ? 0.1 : 0.0;
  block.loaded = load;
  block.norm = 1 + 2 * load;
  block.known = NaN;
}

/** The network's coefficients for the cell's present state. */
function open(block: LowpassGate): void {
  const y = block.y;
  const place = sqrt(y) * <f64>STEPS;
  const i = <i32>place;
  const at = CONDUCTANCE + ((<usize>i) << 3);
  const low = load<f64>(at);
  const g = low + (load<f64>(at, 8) - low) * (place - <f64>i);
  block.known = y;
  if (block.amplifies) {
    block.share = (block.norm * g) / (g + 2 * block.loaded);
    return;
  }
  const c = block.k * g;
  const a = 1 + 2 * c + block.leak;
  const b = 1 + c + block.k * block.loaded + block.leak;
  block.c = c;
  block.b = b;
  block.inverse = 1 / (a * b - c * c);
  block.share = block.norm;
}

/** Frames^-1 of the fall with these volts at the decay input. */
// @ts-ignore: decorator
@inline
function fallAt(block: LowpassGate, volts: f32): f64 {
  const octaves = 2 * block.settingDecayAmount * <f64>volts;
  return octaves == 0 ? block.fall : min<f64>(max<f64>(block.fall * exp2(-octaves), block.slowest), block.fastest);
}

/** 1 - e^(-x) for small x. */
// @ts-ignore: decorator
@inline
function covered(x: f64): f64 {
  return x * (1 - x * (0.5 - x * (1.0 / 6)));
}

/** The cell one frame on: the exact solution for light that stands still over the frame. */
// @ts-ignore: decorator
@inline
function follow(y: f64, light: f64, rise: f64, fall: f64): f64 {
  const x = (1 + HASTE * light) * (light > y ? rise : fall);
  const gained = x * (1 + x * (0.5 + x * (1.0 / 6))); // e^x - 1
  const toward = (1 + HASTE * y) * gained;
  const next = y + ((light - y) * toward) / (toward + (1 + HASTE * light));
  return next > 1 ? 1 : next < DARK ? 0 : next;
}

export function process(block: LowpassGate, from: i32, to: i32): void {
  const out = block.outputOut;
  if (restsDark(block, to)) {
    if (out != 0) hold(out, from, to, 0);
    return;
  }
  if (out != 0) vary(out, from);
  const input = block.inputIn,
    cv = block.inputCv,
    strike = block.inputStrike,
    decayCv = block.inputDecayCv;
  const amount = block.settingCvAmount / 8;
  const glides = block.slopeLevel != 0;
  const steadyDecay = isHeld(decayCv, to);
  let level = block.settingLevel;
  let fall = fallAt(block, read(decayCv, from));
  let rise = max<f64>(block.quickest, fall * (1 / RISE_SHARE));
  let fades = covered(rise);
  for (let i = from; i < to; i++) {
    if (!steadyDecay) {
      fall = fallAt(block, read(decayCv, i));
      rise = max<f64>(block.quickest, fall * (1 / RISE_SHARE));
      fades = covered(rise);
    }
    if (glides) level = sloped(block, block.settingLevel, block.slopeLevel, i);
    const flash = flashOf(block, max<f64>(<f64>read(strike, i), 0), fades);
    const light = min<f64>(max<f64>(level + amount * <f64>read(cv, i) + FLASH * flash, 0), GLARE);
    block.y = follow(block.y, light, rise, fall);
    if (block.y != block.known) open(block);
    const volts = block.amplifies ? amplify(block, <f64>read(input, i)) : pass(block, <f64>read(input, i));
    if (out != 0) write(out, i, rail(<f32>volts));
  }
}

/** Nothing shines and nothing is left on the capacitors, for all of the range. */
function restsDark(block: LowpassGate, to: i32): bool {
  if (block.y != 0 || block.flash != 0 || block.coupled != 0 || block.s1 != 0 || block.s2 != 0) return false;
  if (block.settingLevel != 0 || block.slopeLevel != 0) return false;
  const cv = block.inputCv,
    strike = block.inputStrike;
  if (!isHeld(cv, to) || !isHeld(strike, to)) return false;
  return block.settingCvAmount * <f64>read(cv, to - 1) <= 0 && read(strike, to - 1) <= 0;
}

/** The flash in volts: what the strike rises above its capacitor, with a peak that dies away just as fast. */
// @ts-ignore: decorator
@inline
function flashOf(block: LowpassGate, strike: f64, fades: f64): f64 {
  if (strike == 0 && block.flash == 0) {
    block.coupled = 0;
    return 0;
  }
  const before = min<f64>(block.coupled, strike);
  const rest = block.flash - block.flash * fades;
  const flash = max<f64>(strike - before, rest < 1e-9 ? 0 : rest);
  block.coupled = before + (strike - before) * fades;
  block.flash = flash;
  return flash;
}

// @ts-ignore: decorator
@inline
function amplify(block: LowpassGate, x: f64): f64 {
  block.s1 = 0;
  block.s2 = 0;
  return block.share * x + 0; // -0 becomes 0, as at rest
}

/** The network, solved without delay. */
// @ts-ignore: decorator
@inline
function pass(block: LowpassGate, x: f64): f64 {
  const c = block.c,
    s2 = block.s2;
  const known = block.s1 + c * x;
  const a = 1 + 2 * c + block.leak;
  const v2 = block.inverse * (a * s2 + c * known);
  const v1 = block.inverse * (block.b * known + c * s2);
  const next1 = v1 + v1 - block.s1,
    next2 = v2 + v2 - s2;
  block.s1 = abs<f64>(next1) < 1e-15 ? 0 : next1;
  block.s2 = abs<f64>(next2) < 1e-15 ? 0 : next2;
  return block.share * v2;
}
