/** Live input: what the host brings from the microphone or line input, times the gain; full scale is 10 V. Silent in takes. */
import { hold, isHeld, rail, read, sloped, vary, write } from '../../dsp/block';
import { gainOf } from '../../dsp/decibel';
import { liveInput } from '../../dsp/liveInput';
import { ExternalPorts } from '../layouts.gen';

const FULL_SCALE: f64 = 10;

@unmanaged
export class External extends ExternalPorts {
  gain: f32; // volts at full scale
}

export function update(block: External): void {
  block.gain = <f32>(FULL_SCALE * gainOf(block.settingGain));
}

/** [audio thread] */
export function process(block: External, from: i32, to: i32): void {
  if (block.outputLeft != 0) side(block, liveInput(0), block.outputLeft, from, to);
  if (block.outputRight != 0) side(block, liveInput(1), block.outputRight, from, to);
}

function side(block: External, input: usize, out: usize, from: i32, to: i32): void {
  if (isHeld(input, to) && read(input, from) == 0) {
    hold(out, from, to, 0);
    return;
  }
  vary(out, from);
  if (block.gliding != 0) {
    for (let i = from; i < to; i++) {
      const gain = FULL_SCALE * gainOf(sloped(block, block.settingGain, block.slopeGain, i));
      write(out, i, rail(read(input, i) * <f32>gain));
    }
    return;
  }
  const gain = block.gain;
  for (let i = from; i < to; i++) write(out, i, rail(read(input, i) * gain));
}
