/**
 * Crossfader. x = clamp(position + cvAmount x cv / 8, 0, 1). Linear: out = a (1 - x) + b x. Equal power: out = a cos(x pi / 2) +
 * b sin(x pi / 2), within the rails. At the ends one input passes unchanged, to the bit.
 */
import { hold, isHeld, RAIL, rail, read, sloped, vary, write } from '../../dsp/block';
import { equalPower } from '../../dsp/equalPower';
import { CrossfadePorts } from '../layouts.gen';

@unmanaged
export class Crossfade extends CrossfadePorts {
  position: f32;
  /** Way per volt at cv. */
  perVolt: f32;
}

export function update(block: Crossfade): void {
  block.position = <f32>block.settingPosition;
  block.perVolt = <f32>(block.settingCvAmount * 0.125);
}

// @ts-ignore: decorator
@inline
function placeAt(position: f32, perVolt: f32, cv: f32): f32 {
  return min<f32>(max<f32>(position + cv * perVolt, 0), 1);
}

// @ts-ignore: decorator
@inline
function mix(a: f32, gainA: f32, b: f32, gainB: f32): f32 {
  return rail(a * gainA + b * gainB);
}

/** One frame at place x. */
// @ts-ignore: decorator
@inline
function fade(equal: bool, a: f32, b: f32, x: f32): f32 {
  if (!equal) return mix(a, 1 - x, b, x);
  const gains = equalPower(<f64>x);
  return mix(a, <f32>f64x2.extract_lane(gains, 0), b, <f32>f64x2.extract_lane(gains, 1));
}

/** [audio thread] */
export function process(block: Crossfade, from: i32, to: i32): void {
  const out = block.outputOut;
  if (out == 0) return;
  const a = block.inputA;
  const b = block.inputB;
  const cv = block.inputCv;
  const equal = block.settingLaw != 0;
  if (block.gliding != 0) {
    vary(out, from);
    for (let i = from; i < to; i++) {
      const position = <f32>sloped(block, block.settingPosition, block.slopePosition, i);
      const perVolt = <f32>(sloped(block, block.settingCvAmount, block.slopeCvAmount, i) * 0.125);
      write(out, i, fade(equal, read(a, i), read(b, i), placeAt(position, perVolt, read(cv, i))));
    }
  } else if (isHeld(cv, to)) {
    const x = placeAt(block.position, block.perVolt, read(cv, from));
    if (isHeld(a, to) && isHeld(b, to)) {
      hold(out, from, to, fade(equal, read(a, from), read(b, from), x));
      return;
    }
    const gains = equalPower(<f64>x);
    vary(out, from);
    still(a, b, out, from, to, equal ? <f32>f64x2.extract_lane(gains, 0) : 1 - x, equal ? <f32>f64x2.extract_lane(gains, 1) : x);
  } else if (equal) {
    vary(out, from);
    const position = block.position;
    const perVolt = block.perVolt;
    for (let i = from; i < to; i++) write(out, i, fade(true, read(a, i), read(b, i), placeAt(position, perVolt, read(cv, i))));
  } else {
    vary(out, from);
    linear(block, from, to);
  }
}

/** Constant gains. */
function still(a: usize, b: usize, out: usize, from: i32, to: i32, gainA: f32, gainB: f32): void {
  const gainsA = f32x4.splat(gainA);
  const gainsB = f32x4.splat(gainB);
  const top = f32x4.splat(RAIL);
  const bottom = f32x4.splat(-RAIL);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    const v = f32x4.add(f32x4.mul(v128.load(a + at), gainsA), f32x4.mul(v128.load(b + at), gainsB));
    v128.store(out + at, f32x4.min(f32x4.max(v, bottom), top));
  }
  for (; i < to; i++) write(out, i, mix(read(a, i), gainA, read(b, i), gainB));
}

/** The linear law under a moving voltage. */
function linear(block: Crossfade, from: i32, to: i32): void {
  const a = block.inputA;
  const b = block.inputB;
  const cv = block.inputCv;
  const out = block.outputOut;
  const position = block.position;
  const perVolt = block.perVolt;
  const positions = f32x4.splat(position);
  const perVolts = f32x4.splat(perVolt);
  const zero = f32x4.splat(0);
  const one = f32x4.splat(1);
  const top = f32x4.splat(RAIL);
  const bottom = f32x4.splat(-RAIL);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    const x = f32x4.min(f32x4.max(f32x4.add(positions, f32x4.mul(v128.load(cv + at), perVolts)), zero), one);
    const v = f32x4.add(f32x4.mul(v128.load(a + at), f32x4.sub(one, x)), f32x4.mul(v128.load(b + at), x));
    v128.store(out + at, f32x4.min(f32x4.max(v, bottom), top));
  }
  for (; i < to; i++) write(out, i, fade(false, read(a, i), read(b, i), placeAt(position, perVolt, read(cv, i))));
}
