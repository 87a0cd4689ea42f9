import { hold, isHeld, RAIL, rail, read, sloped, vary, write } from '../../dsp/block';
import { charged, coupled, coupling } from '../../dsp/couple';
import { AttenuverterPorts } from '../layouts.gen';

@unmanaged
export class Attenuverter extends AttenuverterPorts {
  gain: f32;
  offset: f32;
  /** Coefficient of the coupling capacitor. */
  g: f64;
  /** Volts on the coupling capacitor; dc coupling shorts it. */
  charge: f64;
}

export function init(block: Attenuverter): void {
  block.g = coupling(block.sampleRate);
}

/** [audio thread] */
export function update(block: Attenuverter): void {
  block.gain = <f32>block.settingGain;
  block.offset = <f32>block.settingOffset;
}

/** out = in x gain + offset within the rails; with ac coupling `in` passes a 5 Hz one-pole high-pass first. [audio thread] */
export function process(block: Attenuverter, from: i32, to: i32): void {
  const input = block.inputIn;
  const out = block.outputOut;
  if (block.settingCoupling != 0) {
    alternating(block, from, to);
    return;
  }
  block.charge = 0;
  if (out == 0) return;
  if (block.gliding != 0) {
    vary(out, from);
    for (let i = from; i < to; i++) {
      const gain = <f32>sloped(block, block.settingGain, block.slopeGain, i);
      const offset = <f32>sloped(block, block.settingOffset, block.slopeOffset, i);
      write(out, i, rail(read(input, i) * gain + offset));
    }
    return;
  }
  const gain = block.gain;
  const offset = block.offset;
  if (isHeld(input, to)) {
    hold(out, from, to, rail(read(input, from) * gain + offset));
    return;
  }
  vary(out, from);
  const gains = f32x4.splat(gain);
  const offsets = f32x4.splat(offset);
  const top = f32x4.splat(RAIL);
  const bottom = f32x4.splat(-RAIL);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    const v = f32x4.add(f32x4.mul(v128.load(input + at), gains), offsets);
    v128.store(out + at, f32x4.pmin(f32x4.pmax(v, bottom), top));
  }
  for (; i < to; i++) write(out, i, rail(read(input, i) * gain + offset));
}

function alternating(block: Attenuverter, from: i32, to: i32): void {
  const input = block.inputIn;
  const out = block.outputOut;
  const g = block.g;
  let charge = block.charge;
  if (out == 0) {
    for (let i = from; i < to; i++) charge = charged(charge, read(input, i), g);
    block.charge = charge;
    return;
  }
  vary(out, from);
  if (block.gliding == 0) {
    for (let i = from; i < to; i++) {
      const x = <f64>read(input, i);
      write(out, i, rail(<f32>coupled(charge, x, g) * block.gain + block.offset));
      charge = charged(charge, x, g);
    }
  } else {
    for (let i = from; i < to; i++) {
      const x = <f64>read(input, i);
      const gain = <f32>sloped(block, block.settingGain, block.slopeGain, i);
      const offset = <f32>sloped(block, block.settingOffset, block.slopeOffset, i);
      write(out, i, rail(<f32>coupled(charge, x, g) * gain + offset));
      charge = charged(charge, x, g);
    }
  }
  block.charge = charge;
}
