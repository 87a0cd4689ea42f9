/**
 * Flip-flop, on rising edges (1.5 V going up, re-armed below 1.0 V): set turns it on, reset off, toggle over, on the same frame.
 * Of edges on one frame reset acts first, then set, then toggle. Starts off.
 */
import { isPatched } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate } from '../../dsp/pulse';
import { LATCH_RESET, LATCH_SET, LATCH_TOGGLE, LatchPorts } from '../layouts.gen';

@unmanaged
export class Latch extends LatchPorts {
  on: i32;
  toggleHigh: i32;
  setHigh: i32;
  resetHigh: i32;
}

export function update(block: Latch): void {}

/** [audio thread] */
export function process(block: Latch, from: i32, to: i32): void {
  const toggles = isPatched(block, LATCH_TOGGLE);
  const sets = isPatched(block, LATCH_SET);
  const resets = isPatched(block, LATCH_RESET);
  if (!toggles) block.toggleHigh = 0;
  if (!sets) block.setHigh = 0;
  if (!resets) block.resetHigh = 0;
  let toggleAt = toggles ? nextChange(block.inputToggle, from, to, block.toggleHigh) : to;
  let setAt = sets ? nextChange(block.inputSet, from, to, block.setHigh) : to;
  let resetAt = resets ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  let i = from;
  while (i < to) {
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) block.on = 0;
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    if (setAt == i) {
      block.setHigh ^= 1;
      if (block.setHigh) block.on = 1;
      setAt = nextChange(block.inputSet, i + 1, to, block.setHigh);
    }
    if (toggleAt == i) {
      block.toggleHigh ^= 1;
      if (block.toggleHigh) block.on ^= 1;
      toggleAt = nextChange(block.inputToggle, i + 1, to, block.toggleHigh);
    }
    const n = min<i32>(toggleAt, min<i32>(setAt, resetAt));
    putGate(block.outputOn, i, n, block.on != 0);
    putGate(block.outputOff, i, n, block.on == 0);
    i = n;
  }
}
