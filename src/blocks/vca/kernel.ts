import { hold, isHeld, read, sloped, vary, write } from '../../dsp/block';
import { exp2 } from '../../dsp/exp2';
import { VcaPorts } from '../layouts.gen';

/** 3 log2(10): an exponential opening from 0 to 1 spans 60 dB. */
const SPAN: f64 = 9.965784284662087;
/** Below this opening the exponential response is closed. */
const CLOSED: f64 = 0.02;

@unmanaged
export class Vca extends VcaPorts {
  level: f32;
  /** Opening per volt at cv. */
  perVolt: f32;
  exponential: i32;
}

/** [audio thread] */
export function update(block: Vca): void {
  block.level = <f32>block.settingLevel;
  block.perVolt = <f32>(block.settingCvAmount * 0.125);
  block.exponential = block.settingResponse != 0 ? 1 : 0;
}

/** clamp(level + cvAmount x cv / 8, 0, 1) */
// @ts-ignore: decorator
@inline
function opening(level: f32, perVolt: f32, cv: f32): f32 {
  // pmin and pmax are one machine instruction each
  const x = f32x4.pmax(f32x4.splat(level + cv * perVolt), f32x4.splat(0));
  return f32x4.extract_lane(f32x4.pmin(x, f32x4.splat(1)), 0);
}

/** 10^(3 (x - 1)), straight to 0 below x = 0.02. */
// @ts-ignore: decorator
@inline
function exponential(x: f32): f32 {
  return <f64>x < CLOSED ? 0 : <f32>exp2(SPAN * (<f64>x - 1));
}

/** out = in x gain; the added 0 turns -0 into 0, so that a closed amplifier rests at one value. */
// @ts-ignore: decorator
@inline
function scaled(volts: f32, gain: f32): f32 {
  return volts * gain + 0;
}

/** Gain law: gain = response(clamp(level + cvAmount x cv / 8, 0, 1)). [audio thread] */
export function process(block: Vca, from: i32, to: i32): void {
  const out = block.outputOut;
  if (out == 0) return;
  const input = block.inputIn;
  const cv = block.inputCv;
  if (block.gliding != 0) {
    vary(out, from);
    for (let i = from; i < to; i++) {
      const level = <f32>sloped(block, block.settingLevel, block.slopeLevel, i);
      const perVolt = <f32>(sloped(block, block.settingCvAmount, block.slopeCvAmount, i) * 0.125);
      const x = opening(level, perVolt, read(cv, i));
      write(out, i, scaled(read(input, i), block.exponential ? exponential(x) : x));
    }
  } else if (isHeld(cv, to)) {
    const x = opening(block.level, block.perVolt, read(cv, from));
    constantGain(input, out, from, to, block.exponential ? exponential(x) : x);
  } else if (block.exponential) {
    vary(out, from);
    for (let i = from; i < to; i++) {
      write(out, i, scaled(read(input, i), exponential(opening(block.level, block.perVolt, read(cv, i)))));
    }
  } else linear(block, from, to);
}

/** One frame of it, in a loop. [audio thread] */
export function tick(block: Vca, i: i32, _to: i32): void {
  const out = block.outputOut;
  if (out == 0) return;
  const x = opening(block.level, block.perVolt, read(block.inputCv, i));
  vary(out, i);
  write(out, i, scaled(read(block.inputIn, i), block.exponential ? exponential(x) : x));
}

function constantGain(input: usize, out: usize, from: i32, to: i32, gain: f32): void {
  if (gain == 0) {
    hold(out, from, to, 0);
    return;
  }
  if (isHeld(input, to)) {
    hold(out, from, to, scaled(read(input, from), gain));
    return;
  }
  vary(out, from);
  const gains = f32x4.splat(gain);
  const zero = f32x4.splat(0);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    v128.store(out + at, f32x4.add(f32x4.mul(v128.load(input + at), gains), zero));
  }
  for (; i < to; i++) write(out, i, scaled(read(input, i), gain));
}

function linear(block: Vca, from: i32, to: i32): void {
  const input = block.inputIn;
  const cv = block.inputCv;
  const out = block.outputOut;
  const level = block.level;
  const perVolt = block.perVolt;
  if (isHeld(input, to) && read(input, from) == 0) {
    hold(out, from, to, 0);
    return;
  }
  vary(out, from);
  const levels = f32x4.splat(level);
  const perVolts = f32x4.splat(perVolt);
  const zero = f32x4.splat(0);
  const one = f32x4.splat(1);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    const x = f32x4.pmin(f32x4.pmax(f32x4.add(levels, f32x4.mul(v128.load(cv + at), perVolts)), zero), one);
    v128.store(out + at, f32x4.add(f32x4.mul(v128.load(input + at), x), zero));
  }
  for (; i < to; i++) write(out, i, scaled(read(input, i), opening(level, perVolt, read(cv, i))));
}
