/**
 * Sequential switch, one to many: the output of the present step carries the input, all others 0 V. Ahead of step 1 (before the
 * first clock and after a reset) all are at 0 V. A patched address decides alone; the clock then goes on from where it pointed.
 */
import { hold, isHeld, isPatched, read, vary } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { nextStep, stepAfter, stepAt } from '../../dsp/stepped';
import { DISTRIBUTE_ADDRESS, DISTRIBUTE_CLOCK, DISTRIBUTE_RESET, DistributePorts } from '../layouts.gen';

const OUTPUTS: i32 = 8;

@unmanaged
export class Distribute extends DistributePorts {
  clockHigh: i32;
  resetHigh: i32;
  /** Present step, counted from 0; -1 ahead of step 1. */
  step: i32;
}

export function init(block: Distribute): void {
  block.step = -1;
}

export function update(block: Distribute): void {}

/** [audio thread] */
export function process(block: Distribute, from: i32, to: i32): void {
  const steps = <i32>block.settingSteps;
  const addressed = isPatched(block, DISTRIBUTE_ADDRESS);
  const clocked = isPatched(block, DISTRIBUTE_CLOCK);
  const resettable = isPatched(block, DISTRIBUTE_RESET);
  if (!clocked) block.clockHigh = 0;
  if (!resettable) block.resetHigh = 0;
  let clockAt = clocked ? nextChange(block.inputClock, from, to, block.clockHigh) : to;
  let resetAt = resettable ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  let i = from;
  while (i < to) {
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) block.step = -1;
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    if (clockAt == i) {
      block.clockHigh ^= 1;
      if (block.clockHigh) block.step = stepAfter(block.step, steps);
      clockAt = nextChange(block.inputClock, i + 1, to, block.clockHigh);
    }
    let n = min<i32>(clockAt, resetAt);
    if (addressed) {
      block.step = stepAt(read(block.inputAddress, i), steps);
      n = nextStep(block.inputAddress, i, n, steps);
    }
    carry(block, i, n);
    i = n;
  }
}

/** Writes frames from..to-1, over which one step is selected. */
function carry(block: Distribute, from: i32, to: i32): void {
  const outputs = changetype<usize>(block) + offsetof<Distribute>('outputOut1');
  const input = block.inputIn;
  for (let k = 0; k < OUTPUTS; k++) {
    const out = load<usize>(outputs + ((<usize>k) << 2));
    if (out == 0) continue;
    if (k != block.step) {
      hold(out, from, to, 0);
    } else if (isHeld(input, to)) {
      hold(out, from, to, read(input, from));
    } else {
      vary(out, from);
      const at = (<usize>from) << 2;
      memory.copy(out + at, input + at, (<usize>(to - from)) << 2);
    }
  }
}
