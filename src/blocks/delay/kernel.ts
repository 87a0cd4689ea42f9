/**
 * Delay line with feedback.
 *   wet = lowpass(line(t - T)),  line = in + saturate(block(feedback x wet) + return),  out = in + mix (wet - in)
 *
 * T = time x 2^(2 timeAmount V), or with `pitch` patched one period of that pitch x 2^(2 timeAmount V), at most 2 s. The time law
 * stays within 0.5 ms..2 s, a period may be as short as 13 frames. Between frames the line is read with a windowed sinc of
 * linear phase. T follows as two equal poles of 1 ms do, but moves by at most half a frame per frame: what is heard while it
 * travels is up to an octave low or a fifth high, never torn.
 *
 * The string of K. Karplus and A. Strong (Computer Music Journal 7(2), 1983) is this loop, struck at `in`. It is in tune at any
 * pitch because T is not rounded, and because with `pitch` patched T makes up for the phase of the loop's filters at the
 * fundamental (D. Jaffe and J. Smith, same issue).
 *
 * Saturation: exact up to 6 V, then a smooth bend towards 10 V. From a feedback of 0.9 on, direct voltage is more and more kept out
 * of the loop (one pole at 1 Hz, entirely from 1 on), so that it does not pile up.
 */
import { hold, isHeld, isPatched, rail, read, sloped, vary, write } from '../../dsp/block';
import { exp2 } from '../../dsp/exp2';
import { prepareReading, READ_AHEAD, READ_POINTS, readingWeights, readWeighted } from '../../dsp/fractionalRead';
import { sine } from '../../dsp/sine';
import { DELAY_PITCH, DelayPorts } from '../layouts.gen';

const C4: f64 = 261.6255653005986;
const SHORTEST: f64 = 0.0005;
const LONGEST: f64 = 2;
/** Fewest frames between writing and reading. */
const NEAREST: f64 = 13;
/** Most frames by which the delay changes in a frame. */
const FASTEST: f64 = 0.5;
/** Time constant of the delay's way, in seconds, twice over. */
const FOLLOW: f64 = 0.001;
/** Volts up to which feedback is exact, and what is added to them at most. */
const STRAIGHT: f64 = 6;
const BEND: f64 = 4;

@unmanaged
export class Delay extends DelayPorts {
  // coefficients
  size: i32; // frames of the line
  farthest: f64; // frames
  shortest: f64;
  follow: f64; // speed per frame of way
  urge: f64; // share of a wanted change of speed that is made in a frame
  pole: f64; // of the tone filter
  blocked: f64; // share of the direct voltage kept out of the loop
  drift: f64; // coefficient of the 1 Hz low-pass
  // the last period worked out, frames, and the pitch it came from
  pitch: f32;
  period: f64;
  // state
  at: i32; // next frame of the line to be written
  delay: f64; // frames; 0: not yet set
  speed: f64; // its change per frame
  tone: f64; // low-pass
  direct: f64; // direct voltage in the feedback
  blanks: i32; // zeros written in a row, as far as counted
}

/** Interpolation weights of the present position. */
const WEIGHTS = memory.data(READ_POINTS * 4, 16);

export function prepare(sampleRate: f64, quality: i32): void {
  prepareReading();
}

export function update(block: Delay): void {
  const rate = block.sampleRate;
  block.size = block.memoryFrames - READ_POINTS;
  block.farthest = min<f64>(LONGEST * rate, <f64>(block.size - READ_POINTS));
  block.shortest = max<f64>(SHORTEST * rate, NEAREST);
  block.follow = 0.5 / (FOLLOW * rate);
  block.urge = 2 / (FOLLOW * rate);
  const tone = block.settingTone;
  const corner = 200 * exp2(6.643856189774724 * tone); // 200 Hz..20 kHz
  block.pole = exp2((-2 * Math.PI * Math.LOG2E * corner) / rate) * min<f64>(10 * (1 - tone), 1); // none at 1
  block.blocked = min<f64>(max<f64>(10 * (block.settingFeedback - 0.9), 0), 1);
  block.drift = 1 - exp2((-2 * Math.PI * Math.LOG2E) / rate);
  block.pitch = NaN;
}

/** Frames of delay that make one period of a pitch, the phase of the loop's filters at the fundamental taken off. */
function periodOf(block: Delay, pitch: f32): f64 {
  if (pitch == block.pitch) return block.period;
  const frames = (block.sampleRate / C4) * exp2(-(<f64>pitch));
  let phase: f64 = 0;
  if ((block.pole > 0 || block.blocked > 0) && frames > 2) {
    const s = sine(1 / frames),
      c = sine(1 / frames + 0.25);
    if (block.pole > 0) phase -= Math.atan2(block.pole * s, 1 - block.pole * c);
    if (block.blocked > 0) {
      const keep = 1 - block.drift;
      phase += Math.atan2(keep * s, 1 - block.blocked * block.drift - keep * c) - Math.atan2(keep * s, 1 - keep * c);
    }
  }
  block.pitch = pitch;
  block.period = frames * (1 + phase / (2 * Math.PI));
  return block.period;
}

/** Where the delay is going at frame i, in frames. */
function goal(block: Delay, i: i32): f64 {
  const pitched = isPatched(block, DELAY_PITCH);
  const base = pitched
    ? periodOf(block, read(block.inputPitch, i))
    : sloped(block, block.settingTime, block.slopeTime, i) * block.sampleRate;
  const octaves = 2 * block.settingTimeAmount * <f64>read(block.inputTimeCv, i);
  const frames = octaves == 0 ? base : base * exp2(octaves);
  return min<f64>(max<f64>(frames, pitched ? NEAREST : block.shortest), block.farthest);
}

/** One frame of the way there. */
// @ts-ignore: decorator
@inline
function travel(block: Delay, target: f64): void {
  const way = target - block.delay;
  const wanted = min<f64>(max<f64>(block.follow * way, -FASTEST), FASTEST);
  const speed = block.speed + block.urge * (wanted - block.speed);
  const there = abs<f64>(way) < 1e-5 && abs<f64>(speed) < 1e-6;
  block.speed = there ? 0 : speed;
  block.delay = there ? target : max<f64>(block.delay + speed, NEAREST);
}

// @ts-ignore: decorator
@inline
function saturate(volts: f64): f64 {
  const size = abs<f64>(volts);
  if (size <= STRAIGHT) return volts;
  const over = (size - STRAIGHT) * (1 / BEND);
  return copysign<f64>(STRAIGHT + (BEND * over) / (1 + over), volts);
}

export function process(block: Delay, from: i32, to: i32): void {
  const steady = block.slopeTime == 0 && isHeld(block.inputPitch, to) && isHeld(block.inputTimeCv, to);
  const target = goal(block, from);
  if (block.delay == 0) block.delay = target;
  const settled = steady && block.delay == target && block.speed == 0;
  if (settled && restsEmpty(block, from, to)) return;
  if (block.outputOut != 0) vary(block.outputOut, from);
  if (block.outputWet != 0) vary(block.outputWet, from);
  if (settled) readingWeights(WEIGHTS, ceil<f64>(target) - target);
  const input = block.inputIn;
  const memory = block.memory,
    size = block.size;
  let at = block.at;
  for (let i = from; i < to; i++) {
    if (!settled) {
      travel(block, steady ? target : goal(block, i));
      readingWeights(WEIGHTS, ceil<f64>(block.delay) - block.delay);
    }
    // 11 frames before the one at or before the position
    let first = at - <i32>ceil<f64>(block.delay) + (READ_AHEAD - READ_POINTS + 1);
    if (first < 0) first += size;
    const x = <f64>read(input, i);
    const wet = toned(block, <f64>readWeighted(memory + ((<usize>first) << 2), WEIGHTS));
    put(block, i, x, wet);
    let volts = <f32>(x + saturate(again(block, wet, i) + <f64>read(block.inputReturn, i)));
    if (abs<f32>(volts) < 1e-15) volts = 0;
    block.blanks = volts == 0 ? min<i32>(block.blanks + 1, size) : 0;
    store<f32>(memory + ((<usize>at) << 2), volts);
    if (at < READ_POINTS) store<f32>(memory + ((<usize>(at + size)) << 2), volts); // so that reading never meets the end
    if (++at == size) at = 0;
  }
  block.at = at;
}

/** The echo behind the tone filter. */
// @ts-ignore: decorator
@inline
function toned(block: Delay, volts: f64): f64 {
  const wet = volts + block.pole * (block.tone - volts);
  block.tone = abs<f64>(wet) < 1e-15 ? 0 : wet;
  return wet;
}

/** What of an echo goes round again. */
// @ts-ignore: decorator
@inline
function again(block: Delay, wet: f64, i: i32): f64 {
  const fed = wet * (block.slopeFeedback != 0 ? sloped(block, block.settingFeedback, block.slopeFeedback, i) : block.settingFeedback);
  const direct = block.direct + block.drift * (fed - block.direct);
  block.direct = abs<f64>(direct) < 1e-15 ? 0 : direct;
  return fed - block.blocked * direct;
}

// @ts-ignore: decorator
@inline
function put(block: Delay, i: i32, x: f64, wet: f64): void {
  if (block.outputWet != 0) write(block.outputWet, i, rail(<f32>wet));
  if (block.outputOut == 0) return;
  const mix = block.slopeMix != 0 ? sloped(block, block.settingMix, block.slopeMix, i) : block.settingMix;
  write(block.outputOut, i, mix == 0 ? <f32>x : rail(<f32>(x + mix * (wet - x))));
}

/** True, and the range is done, if nothing comes in, nothing is in the line and nothing moves. */
function restsEmpty(block: Delay, from: i32, to: i32): bool {
  if (block.blanks < block.size || block.tone != 0 || block.direct != 0) return false;
  const input = block.inputIn,
    back = block.inputReturn;
  if (!isHeld(input, to) || !isHeld(back, to) || read(input, from) != 0 || read(back, from) != 0) return false;
  if (block.outputOut != 0) hold(block.outputOut, from, to, 0);
  if (block.outputWet != 0) hold(block.outputWet, from, to, 0);
  block.at = (block.at + (to - from)) % block.size;
  return true;
}
