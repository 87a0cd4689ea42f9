/**
 * Panner, equal power. x = (1 + clamp(position + cvAmount x cv / 5, -1, 1)) / 2, left = in x cos(x pi / 2), right = in x sin(x pi / 2):
 * each 3.01 dB down in the middle, one unchanged and the other silent at the ends.
 */
import { hold, isHeld, read, sloped, vary, write } from '../../dsp/block';
import { equalPower } from '../../dsp/equalPower';
import { scale, scaled } from '../../dsp/scale';
import { PanPorts } from '../layouts.gen';

@unmanaged
export class Pan extends PanPorts {}

export function update(block: Pan): void {}

/** Both gains, lanes of f64, at frame i. */
// @ts-ignore: decorator
@inline
function gainsAt(block: Pan, i: i32): v128 {
  const position = sloped(block, block.settingPosition, block.slopePosition, i);
  const perVolt = sloped(block, block.settingCvAmount, block.slopeCvAmount, i) * 0.2;
  const place = min<f64>(max<f64>(position + perVolt * <f64>read(block.inputCv, i), -1), 1);
  return equalPower(0.5 * (1 + place));
}

/** A constant gain over a range. */
function side(input: usize, out: usize, from: i32, to: i32, gain: f32): void {
  if (out == 0) return;
  if (gain == 0 || isHeld(input, to)) hold(out, from, to, gain == 0 ? 0 : scaled(read(input, from), gain));
  else {
    vary(out, from);
    scale(input, out, from, to, gain);
  }
}

/** [audio thread] */
export function process(block: Pan, from: i32, to: i32): void {
  const input = block.inputIn;
  const left = block.outputLeft;
  const right = block.outputRight;
  if (block.gliding == 0 && isHeld(block.inputCv, to)) {
    const gains = gainsAt(block, from);
    side(input, left, from, to, <f32>f64x2.extract_lane(gains, 0));
    side(input, right, from, to, <f32>f64x2.extract_lane(gains, 1));
    return;
  }
  if (left != 0) vary(left, from);
  if (right != 0) vary(right, from);
  for (let i = from; i < to; i++) {
    const gains = gainsAt(block, i);
    const volts = read(input, i);
    if (left != 0) write(left, i, scaled(volts, <f32>f64x2.extract_lane(gains, 0)));
    if (right != 0) write(right, i, scaled(volts, <f32>f64x2.extract_lane(gains, 1)));
  }
}
