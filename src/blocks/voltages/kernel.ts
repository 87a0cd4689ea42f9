/** Fixed voltages: four outputs that rest at their settings, and move evenly while those glide. */
import { hold, sloped, vary, write } from '../../dsp/block';
import { VoltagesPorts } from '../layouts.gen';

@unmanaged
export class Voltages extends VoltagesPorts {}

export function update(block: Voltages): void {}

function put(block: Voltages, out: usize, volts: f64, slope: f64, from: i32, to: i32): void {
  if (out == 0) return;
  if (slope == 0) {
    hold(out, from, to, <f32>volts);
    return;
  }
  vary(out, from);
  for (let i = from; i < to; i++) write(out, i, <f32>sloped(block, volts, slope, i));
}

/** [audio thread] */
export function process(block: Voltages, from: i32, to: i32): void {
  put(block, block.outputOut1, block.settingVolts1, block.slopeVolts1, from, to);
  put(block, block.outputOut2, block.settingVolts2, block.slopeVolts2, from, to);
  put(block, block.outputOut3, block.settingVolts3, block.slopeVolts3, from, to);
  put(block, block.outputOut4, block.settingVolts4, block.slopeVolts4, from, to);
}
