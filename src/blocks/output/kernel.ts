import { hold, isHeld, isPatched, read, sloped, vary, write } from '../../dsp/block';
import { charged, coupled, coupling } from '../../dsp/couple';
import { gainOf } from '../../dsp/decibel';
import { OUTPUT_RIGHT, OutputPorts } from '../layouts.gen';

@unmanaged
export class Output extends OutputPorts {
  gain: f32;
  /** Coefficient of the dc block. */
  g: f64;
  /** State of the dc block; 0 while it is off, so that switching it on starts without a step. */
  chargeLeft: f64;
  chargeRight: f64;
}

export function init(block: Output): void {
  block.g = coupling(block.sampleRate);
}

/** [audio thread] */
export function update(block: Output): void {
  block.gain = <f32>gainOf(block.settingLevel);
}

/**
 * Volts for the take: level, then the dc block (5 Hz). No rails here: the ceiling comes after the sum of all outputs.
 * An unpatched right input copies the left one. [audio thread]
 */
export function process(block: Output, from: i32, to: i32): void {
  const left = block.outputBusLeft;
  const right = block.outputBusRight;
  const mono = !isPatched(block, OUTPUT_RIGHT) || block.inputRight == block.inputLeft;
  const twin = mono && left != 0 && right != 0 && block.chargeLeft == block.chargeRight;
  if (left != 0) block.chargeLeft = channel(block, block.inputLeft, left, block.chargeLeft, from, to);
  if (right == 0) return;
  if (twin) {
    block.chargeRight = block.chargeLeft;
    if (isHeld(left, to)) hold(right, from, to, read(left, from));
    else {
      vary(right, from);
      memory.copy(right + ((<usize>from) << 2), left + ((<usize>from) << 2), (<usize>(to - from)) << 2);
    }
  } else block.chargeRight = channel(block, mono ? block.inputLeft : block.inputRight, right, block.chargeRight, from, to);
}

/** One side; answers the dc block's state after the range. */
function channel(block: Output, input: usize, out: usize, charge: f64, from: i32, to: i32): f64 {
  const blocking = block.settingDcBlock != 0;
  const g = block.g;
  if (!blocking) charge = 0;
  if (block.gliding != 0) {
    vary(out, from);
    for (let i = from; i < to; i++) {
      const volts = read(input, i) * <f32>gainOf(sloped(block, block.settingLevel, block.slopeLevel, i));
      write(out, i, blocking ? <f32>coupled(charge, volts, g) : volts);
      if (blocking) charge = charged(charge, volts, g);
    }
    return charge;
  }
  const gain = block.gain;
  if (isHeld(input, to) && charge == 0 && (!blocking || read(input, from) == 0)) {
    hold(out, from, to, read(input, from) * gain);
    return 0;
  }
  vary(out, from);
  if (blocking) {
    for (let i = from; i < to; i++) {
      const volts = <f64>(read(input, i) * gain);
      write(out, i, <f32>coupled(charge, volts, g));
      charge = charged(charge, volts, g);
    }
    return charge;
  }
  const gains = f32x4.splat(gain);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    v128.store(out + at, f32x4.mul(v128.load(input + at), gains));
  }
  for (; i < to; i++) write(out, i, read(input, i) * gain);
  return 0;
}
