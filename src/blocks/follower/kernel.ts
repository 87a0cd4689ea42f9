/**
 * Envelope follower: the smooth, decoupled peak detector of Giannoulis, Massberg and Reiss, "Digital Dynamic Range Compressor
 * Design", J. Audio Eng. Soc. 60(6), 2012. A peak holder that falls like a capacitor with the release, then a low-pass with the attack:
 *   peak = max(level, level + (peak - level) e^(-1 / (release rate)))      level = |in| x 8 / 5, 12 V at most
 *   out += (1 - e^(-1 / (attack rate))) (peak - out)
 * So a sine is followed at its peak, not at its mean: 5 V read 8 V.
 */
import { hold, isHeld, read, sloped, vary, write } from '../../dsp/block';
import { covered } from '../../dsp/curve';
import { putGate } from '../../dsp/pulse';
import { FollowerPorts } from '../layouts.gen';

/** 5 V peak give 8 V. */
const SCALE: f64 = 1.6;
const MOST: f64 = 12;
/** The gate falls at this share of the threshold: 2 dB below. */
const FALLS_AT: f64 = 0.8;
/** Less than this many volts is nothing: states never turn denormal. */
const NOTHING: f64 = 1e-15;

@unmanaged
export class Follower extends FollowerPorts {
  rise: f64;
  keep: f64;

  peak: f64;
  volts: f64;
  high: i32;
}

export function update(block: Follower): void {
  block.rise = covered(1 / (block.settingAttack * block.sampleRate));
  block.keep = 1 - covered(1 / (block.settingRelease * block.sampleRate));
}

/** State of the gate at frame i, given the one before. */
// @ts-ignore: decorator
@inline
function gateAt(block: Follower, i: i32, volts: f64, high: i32): i32 {
  const threshold = sloped(block, block.settingThreshold, block.slopeThreshold, i);
  return volts >= (high ? FALLS_AT * threshold : threshold) ? 1 : 0;
}

/** [audio thread] */
export function process(block: Follower, from: i32, to: i32): void {
  const input = block.inputIn;
  const out = block.outputOut;
  let peak = block.peak;
  let volts = block.volts;
  let high = block.high;
  if (peak == 0 && volts == 0 && isHeld(input, to) && read(input, from) == 0) {
    block.high = 0; // the least threshold is above 0
    if (out != 0) hold(out, from, to, 0);
    putGate(block.outputGate, from, to, false);
    return;
  }
  const rise = block.rise;
  const keep = block.keep;
  if (out != 0) vary(out, from);
  let since = from;
  for (let i = from; i < to; i++) {
    const level = min<f64>(SCALE * abs<f64>(<f64>read(input, i)), MOST);
    peak = level + max<f64>(peak - level, 0) * keep;
    if (peak < NOTHING) peak = 0;
    volts += rise * (peak - volts);
    if (volts < NOTHING) volts = 0;
    if (out != 0) write(out, i, <f32>volts);
    const now = gateAt(block, i, volts, high);
    if (now != high) {
      if (i > since) putGate(block.outputGate, since, i, high != 0);
      since = i;
      high = now;
    }
  }
  putGate(block.outputGate, since, to, high != 0);
  block.peak = peak;
  block.volts = volts;
  block.high = high;
}
