/**
 * Comparator with hysteresis below the threshold, as the edge detectors of all inputs have it (up at 1.5 V, down below 1.0 V):
 * high from the frame on which in >= threshold + cv, low from the frame on which in < threshold + cv - hysteresis. Starts low.
 */
import { isHeld, read, sloped } from '../../dsp/block';
import { putGate } from '../../dsp/pulse';
import { ComparatorPorts } from '../layouts.gen';

@unmanaged
export class Comparator extends ComparatorPorts {
  high: i32;
}

export function update(block: Comparator): void {}

/** State after frame i, given the one before. */
// @ts-ignore: decorator
@inline
function stateAt(block: Comparator, i: i32, high: i32): i32 {
  const threshold = <f32>sloped(block, block.settingThreshold, block.slopeThreshold, i) + read(block.inputCv, i);
  const below = high ? <f32>sloped(block, block.settingHysteresis, block.slopeHysteresis, i) : 0;
  return read(block.inputIn, i) >= threshold - below ? 1 : 0;
}

/** [audio thread] */
export function process(block: Comparator, from: i32, to: i32): void {
  let high = block.high;
  let i = from;
  if (block.gliding == 0 && isHeld(block.inputIn, to) && isHeld(block.inputCv, to)) {
    high = stateAt(block, i, high);
    put(block, i, to, high);
    block.high = high;
    return;
  }
  while (i < to) {
    high = stateAt(block, i, high);
    let n = i + 1;
    while (n < to && stateAt(block, n, high) == high) n++;
    put(block, i, n, high);
    i = n;
  }
  block.high = high;
}

// @ts-ignore: decorator
@inline
function put(block: Comparator, from: i32, to: i32, high: i32): void {
  putGate(block.outputGate, from, to, high != 0);
  putGate(block.outputInverted, from, to, high == 0);
}
