/**
 * Sequential switch, many to one: the output carries the input of the present step, and that step's gate is high. Ahead of step 1
 * it passes the first input and all gates are low. An unpatched input rests at its own setting. A patched address decides alone;
 * the clock then goes on from where it pointed.
 */
import { hold, isHeld, isPatched, rail, read, sloped, vary, write } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate } from '../../dsp/pulse';
import { nextStep, stepAfter, stepAt } from '../../dsp/stepped';
import { CHOOSE_ADDRESS, CHOOSE_CLOCK, CHOOSE_IN1, CHOOSE_RESET, ChoosePorts } from '../layouts.gen';

const INPUTS: i32 = 8;
/** Bytes from the value of one setting to the next, and to its slope. */
const SETTING_BYTES: usize = 16;
const SLOPE: usize = 8;

@unmanaged
export class Choose extends ChoosePorts {
  clockHigh: i32;
  resetHigh: i32;
  /** Present step, counted from 0; -1 ahead of step 1. */
  step: i32;
}

export function init(block: Choose): void {
  block.step = -1;
}

export function update(block: Choose): void {}

/** [audio thread] */
export function process(block: Choose, from: i32, to: i32): void {
  const steps = <i32>block.settingSteps;
  const addressed = isPatched(block, CHOOSE_ADDRESS);
  const clocked = isPatched(block, CHOOSE_CLOCK);
  const resettable = isPatched(block, CHOOSE_RESET);
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
    if (block.outputOut != 0) pass(block, max<i32>(block.step, 0), i, n);
    gates(block, i, n);
    i = n;
  }
}

function gates(block: Choose, from: i32, to: i32): void {
  const outputs = changetype<usize>(block) + offsetof<Choose>('outputActive1');
  for (let k = 0; k < INPUTS; k++) putGate(load<usize>(outputs + ((<usize>k) << 2)), from, to, k == block.step);
}

/** Writes frames from..to-1 from input k, or from its setting where nothing is patched to it. */
function pass(block: Choose, k: i32, from: i32, to: i32): void {
  const out = block.outputOut;
  const base = changetype<usize>(block);
  if (isPatched(block, CHOOSE_IN1 + k)) {
    const input = load<usize>(base + offsetof<Choose>('inputIn1') + ((<usize>k) << 2));
    if (isHeld(input, to)) {
      hold(out, from, to, read(input, from));
    } else {
      vary(out, from);
      const at = (<usize>from) << 2;
      memory.copy(out + at, input + at, (<usize>(to - from)) << 2);
    }
    return;
  }
  const setting = base + offsetof<Choose>('settingVolts1') + <usize>k * SETTING_BYTES;
  const volts = load<f64>(setting);
  const slope = load<f64>(setting, SLOPE);
  if (slope == 0) {
    hold(out, from, to, <f32>volts);
  } else {
    vary(out, from);
    for (let i = from; i < to; i++) write(out, i, rail(<f32>sloped(block, volts, slope, i)));
  }
}
