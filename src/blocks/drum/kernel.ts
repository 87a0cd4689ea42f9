/**
 * Drum voice: one struck tone and noise under one exponential fall.
 *
 * A trigger's rising edge at frame e starts the tone at phase 0, so that e is its first frame that is not 0, at
 *   f = tune x 2^(pitch + bend x 10^(-t / bendTime)),  amplitude 5 V x (1 + accent / 8) x 10^(-3 t / decay)
 * with the accent (-8..8 V count) as it stands on that frame.
 * The tone goes from a sine to the first four partials of a triangle (1, 1/9, 1/25, 1/49), which fade out before the seventh
 * harmonic comes near half the rate.
 *
 * A stroke into one that still sounds begins in the same way. What sounded lives on beside it as a rotating pointer that dies
 * away in milliseconds: its height is exactly the old voltage, its turn the old frequency, so that there is no jump, however fast
 * strokes follow one another.
 *
 * The noise is uniform, one numbered draw per output frame through a one-pole low-pass; at quality 2, 4, 8 the frames
 * between are interpolated with four points, so that the same noise is heard at every quality.
 */
import { hold, isPatched, rail, read, sloped, vary, write } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { exp2 } from '../../dsp/exp2';
import { drawBipolar } from '../../dsp/random';
import { sine } from '../../dsp/sine';
import { DRUM_TRIGGER, DrumPorts } from '../layouts.gen';

const PEAK: f64 = 5;
/** log2 of 10 and of 1000. */
const TENTH: f64 = 3.321928094887362;
const SIXTY_DB: f64 = 9.965784284662087;
/** Below this share of its peak a stroke is over. */
const OVER: f64 = 1e-6;
/** Seconds in which what a new stroke interrupts falls to 1 / e. */
const INTERRUPTED: f64 = 0.002;
/** RMS of the noise, the tone's peak being 1. */
const NOISE_RMS: f64 = 0.35;

// sin t - sin 3t / 9 + sin 5t / 25 - sin 7t / 49, all times 8 / pi^2, in powers of sin t
const FIRST: f64 = 0.5866975;
const THIRD: f64 = 0.6381626;
const FIFTH: f64 = -1.3339654;
const SEVENTH: f64 = 1.0587025;

@unmanaged
export class Drum extends DrumPorts {
  // coefficients
  base: f64; // cycles per frame at 0 V
  highest: f64;
  keep: f64; // of the amplitude, per frame
  keepBend: f64;
  keepOld: f64;
  mellow: f64; // the noise's low-pass
  noiseGain: f64;
  // the last step worked out, and what it came from
  octaves: f64;
  known: f64;
  // state
  high: i32; // the trigger was seen high
  frame: i64; // engine frames done
  amplitude: f64; // volts
  quiet: f64; // amplitude at which the stroke is over
  bent: f64; // share of the bend that is left
  phase: f64; // cycles
  step: f64; // cycles per frame
  // what a stroke interrupted: pointer and its turn per frame
  oldRe: f64;
  oldIm: f64;
  turnRe: f64;
  turnIm: f64;
  // four values of the noise around the present output frame, the last of them with number `latest`
  latest: i64;
  noise0: f64;
  noise1: f64;
  noise2: f64;
  noise3: f64;
}

export function init(block: Drum): void {
  block.latest = i64.MIN_VALUE / 2;
}

export function update(block: Drum): void {
  const rate = block.sampleRate;
  block.base = block.settingTune / rate;
  block.highest = min<f64>(20000 / rate, 0.45);
  block.keep = exp2(-SIXTY_DB / (block.settingDecay * rate));
  block.keepBend = exp2(-TENTH / (block.settingBendTime * rate));
  block.keepOld = exp2(-Math.LOG2E / (INTERRUPTED * rate));
  const corner = 500 * exp2(5 * block.settingTone);
  const mellow = 1 - exp2((-2 * Math.PI * Math.LOG2E * corner * <f64>block.quality) / rate);
  block.mellow = mellow;
  block.octaves = NaN;
  block.noiseGain = NOISE_RMS * Math.sqrt((3 * (2 - mellow)) / mellow);
}

/** A new stroke on this frame. */
function strike(block: Drum, accent: f64): void {
  if (block.amplitude != 0) {
    const phase = block.phase + block.step; // where the old one would be now
    const volts = block.amplitude * (1 - block.settingNoise);
    block.oldRe += volts * sine(phase + 0.25);
    block.oldIm += volts * body(phase, block.step, block.settingTone);
    block.turnRe = block.keepOld * sine(block.step + 0.25);
    block.turnIm = block.keepOld * sine(block.step);
  }
  block.amplitude = PEAK * min<f64>(max<f64>(1 + accent / 8, 0), 2);
  block.quiet = OVER * block.amplitude;
  block.bent = 1;
  block.phase = 0;
}

/** The wave at a phase, going `step` cycles per frame, `tone` of the way from sine to triangle: -1..1. */
// @ts-ignore: decorator
@inline
function body(phase: f64, step: f64, tone: f64): f64 {
  const s = sine(phase);
  const room = min<f64>(max<f64>(4.5 - 70 * step, 0), 1); // 1 while seven steps stay below 0.35, 0 from 0.45 on
  const share = tone * room;
  const s2 = s * s;
  const triangle = s * (FIRST + s2 * (THIRD + s2 * (FIFTH + s2 * SEVENTH)));
  return s + share * (triangle - s);
}

/** Noise of one engine frame, before the gain. */
function noiseAt(block: Drum, frame: i64): f64 {
  const quality = <i64>block.quality;
  const n = frame / quality;
  if (block.latest != n + 2) {
    if (block.latest != n + 1) {
      block.latest = n - 8; // starts anew
      block.noise3 = 0;
    }
    while (block.latest < n + 2) {
      block.latest++;
      block.noise0 = block.noise1;
      block.noise1 = block.noise2;
      block.noise2 = block.noise3;
      block.noise3 += block.mellow * (drawBipolar(block.seed, block.latest) - block.noise3);
    }
  }
  const d = <f64>(frame - n * quality) / <f64>quality;
  if (d == 0) return block.noise1;
  // Lagrange, four points
  const up = d + 1,
    down = d - 1,
    far = d - 2;
  return (down * far * (3 * up * block.noise1 - d * block.noise0) + up * d * (down * block.noise3 - 3 * far * block.noise2)) * (1.0 / 6);
}

export function process(block: Drum, from: i32, to: i32): void {
  const trigger = block.inputTrigger;
  const patched = isPatched(block, DRUM_TRIGGER);
  if (!patched) block.high = 0;
  let done = from;
  while (done < to) {
    let change = patched ? nextChange(trigger, done, to, block.high) : to;
    if (change == done) {
      block.high ^= 1;
      if (block.high) strike(block, <f64>read(block.inputAccent, done));
      change = nextChange(trigger, done + 1, to, block.high);
    }
    sound(block, done, change);
    done = change;
  }
}

/** Cycles per frame with these volts at the pitch input. */
// @ts-ignore: decorator
@inline
function stepAt(block: Drum, pitch: f32): f64 {
  const octaves = <f64>pitch + block.settingBend * block.bent;
  if (octaves != block.octaves) {
    block.octaves = octaves;
    block.known = min<f64>(block.base * exp2(octaves), block.highest);
  }
  return block.known;
}

/** Frames without an edge. */
function sound(block: Drum, from: i32, to: i32): void {
  const out = block.outputOut;
  const pitch = block.inputPitch;
  const glides = block.gliding != 0;
  let noise = block.settingNoise,
    tone = block.settingTone;
  let i = from;
  if (out != 0 && sounds(block)) vary(out, from);
  for (; i < to && sounds(block); i++) {
    if (glides) {
      noise = sloped(block, block.settingNoise, block.slopeNoise, i);
      tone = sloped(block, block.settingTone, block.slopeTone, i);
    }
    let volts = block.oldIm;
    if (block.amplitude != 0) {
      const step = stepAt(block, read(pitch, i));
      block.step = step;
      block.phase += step;
      if (block.phase >= 1) block.phase -= 1;
      let wave = body(block.phase, step, tone);
      if (noise != 0) wave += noise * (block.noiseGain * noiseAt(block, block.frame + <i64>(i - from)) - wave);
      volts += block.amplitude * wave;
      fade(block);
    }
    if (out != 0) write(out, i, rail(<f32>volts));
    const re = block.oldRe,
      im = block.oldIm;
    block.oldRe = re * block.turnRe - im * block.turnIm;
    block.oldIm = re * block.turnIm + im * block.turnRe;
    if (abs<f64>(re) + abs<f64>(im) < 1e-7) {
      block.oldRe = 0;
      block.oldIm = 0;
    }
  }
  if (out != 0 && i < to) hold(out, i, to, 0);
  block.frame += <i64>(to - from);
}

/** Is there a stroke, or the rest of one? */
// @ts-ignore: decorator
@inline
function sounds(block: Drum): bool {
  return block.amplitude != 0 || block.oldRe != 0 || block.oldIm != 0;
}

/** One frame's fall. */
// @ts-ignore: decorator
@inline
function fade(block: Drum): void {
  block.amplitude *= block.keep;
  if (block.amplitude <= block.quiet) block.amplitude = 0;
  block.bent *= block.keepBend;
  if (block.bent < 1e-9) block.bent = 0;
}
