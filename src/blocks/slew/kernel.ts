/**
 * Slew limiter. The output goes towards the input at a speed that depends on the distance d still to go, so that 10 V take exactly the
 * time T (rise or fall) whatever the shape, also while the input moves:
 *   per frame  move = straight + bend x d,  bend = 1 - e^(-k h),  straight = 10 (bend / (1 - e^(-k)) - bend),  h = 1 / (T rate)
 * k = 0 is a straight line, 10 V per T. k > 0 (shape below 0, up to 5) is a capacitor that charges towards a voltage a little
 * beyond the input, with T = k time constants: fast first. k < 0 (shape above 0, down to -1.5) gets faster on its way; from further
 * than 10 V it begins at the speed of 10 V. The output starts at 0 V, makes its first move on the frame of a step and its last on the
 * first frame that is not too early.
 */
import { hold, isHeld, read, vary, write } from '../../dsp/block';
import { bendOf, covered } from '../../dsp/curve';
import { exp2 } from '../../dsp/exp2';
import { putGate } from '../../dsp/pulse';
import { SlewPorts } from '../layouts.gen';

/** The step for which the times are meant, in volts. */
const SPAN: f64 = 10;
const FAST_FIRST: f64 = -5;
const FAST_LAST: f64 = -1.5;
/** More than any distance between the rails: there at once. */
const AT_ONCE: f64 = 100;
/** A rest of no more than this many moves is taken with the last one: rounding never costs a frame. */
const NEARLY: f64 = 1.01;
const LOG2_E: f64 = 1.4426950408889634;

@unmanaged
export class Slew extends SlewPorts {
  k: f64;
  /** 1 / (1 - e^(-k)) */
  inverse: f64;
  octaves: f64; // doublings of the times per volt at cv
  // moves per frame for the last volts at cv: upwards, downwards, with the least of each
  volts: f32;
  upStraight: f64;
  upBend: f64;
  upLeast: f64;
  downStraight: f64;
  downBend: f64;
  downLeast: f64;

  // state
  y: f64;
}

export function update(block: Slew): void {
  block.k = bendOf(block.settingShape < 0 ? FAST_FIRST : FAST_LAST, block.settingShape);
  block.inverse = block.k == 0 ? 0 : 1 / covered(block.k);
  block.octaves = 2 * block.settingCvAmount;
  block.volts = NaN; // coefficients are due
}

/** 1 - e^(-x), |x| up to 5. */
// @ts-ignore: decorator
@inline
function coveredFast(x: f64): f64 {
  return abs<f64>(x) < 1e-3 ? covered(x) : 1 - exp2(-x * LOG2_E);
}

/** Moves for these volts at cv: times x 2^(2 x amount x V). */
function timed(block: Slew, volts: f32): void {
  block.volts = volts;
  const perFrame = exp2(-block.octaves * <f64>volts) / block.sampleRate;
  const up = perFrame / block.settingRise; // infinite for 0 s
  const down = perFrame / block.settingFall;
  const upBend = block.k == 0 || !(up < 1) ? 0 : coveredFast(block.k * up);
  const downBend = block.k == 0 || !(down < 1) ? 0 : coveredFast(block.k * down);
  block.upBend = upBend;
  block.downBend = downBend;
  const upSpan = !(up < 1) ? AT_ONCE : block.k == 0 ? SPAN * up : SPAN * upBend * block.inverse;
  const downSpan = !(down < 1) ? AT_ONCE : block.k == 0 ? SPAN * down : SPAN * downBend * block.inverse;
  block.upStraight = upSpan - SPAN * upBend;
  block.downStraight = downSpan - SPAN * downBend;
  block.upLeast = min<f64>(upSpan, block.upStraight);
  block.downLeast = min<f64>(downSpan, block.downStraight);
}

function gates(block: Slew, from: i32, to: i32, way: i32): void {
  putGate(block.outputRising, from, to, way > 0);
  putGate(block.outputFalling, from, to, way < 0);
}

/** [audio thread] */
export function process(block: Slew, from: i32, to: i32): void {
  const input = block.inputIn;
  const cv = block.inputCv;
  const out = block.outputOut;
  let y = block.y;
  if (isHeld(input, to) && <f64>read(input, from) == y) {
    if (out != 0) hold(out, from, to, <f32>y);
    gates(block, from, to, 0);
    return;
  }
  if (out != 0) vary(out, from);
  let way = 0;
  let since = from;
  for (let i = from; i < to; i++) {
    const volts = read(cv, i);
    if (volts != block.volts) timed(block, volts);
    const x = <f64>read(input, i);
    const d = x - y;
    let now = 0;
    if (d > 0) {
      const move = max<f64>(block.upStraight + block.upBend * d, block.upLeast);
      y = d <= move * NEARLY ? x : y + move;
      now = 1;
    } else if (d < 0) {
      const move = max<f64>(block.downStraight - block.downBend * d, block.downLeast);
      y = -d <= move * NEARLY ? x : y - move;
      now = -1;
    }
    if (out != 0) write(out, i, <f32>y);
    if (now != way) {
      if (i > since) gates(block, since, i, way);
      since = i;
      way = now;
    }
  }
  gates(block, since, to, way);
  block.y = y;
}
