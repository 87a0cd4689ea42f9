/** Clock divider: the first clock, and the first after a reset, fires all outputs; then by2 fires on every second clock and so on. */
import { isPatched } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate } from '../../dsp/pulse';
import { frameOf, sooner, triggerFrames } from '../../dsp/time';
import { DIVIDER_CLOCK, DIVIDER_RESET, DividerPorts } from '../layouts.gen';

/** Falls with the clock. */
const WITH_CLOCK: i64 = i64.MAX_VALUE;

const TRIGGER: f64 = 0;
const HALF: f64 = 1;

@unmanaged
export class Divider extends DividerPorts {
  trigger: i64;

  clockHigh: i32;
  resetHigh: i32;
  /** Clocks since the start or the last reset. */
  clocks: i64;
  /** Absolute frame of the next frame to come. */
  now: i64;
  /** Absolute frame of the last clock edge, -1 before the first, and frames between the last two (0 = not known). */
  edge: i64;
  interval: i64;
  // absolute frame at which each output falls; low where that is past
  fall2: i64;
  fall3: i64;
  fall4: i64;
  fall5: i64;
  fall6: i64;
  fall8: i64;
  fall16: i64;
}

export function init(block: Divider): void {
  block.trigger = <i64>triggerFrames(block.sampleRate);
  block.edge = -1;
}

export function update(block: Divider): void {}

/** When an output that divides by `by` falls: as before, or as the clock edge at this frame decides. */
// @ts-ignore: decorator
@inline
function fired(block: Divider, by: i64, fall: i64): i64 {
  if (block.clocks % by != 0) return fall;
  const width = block.settingWidth;
  if (width == TRIGGER) return block.now + block.trigger;
  if (width == HALF && block.interval > 0) return block.now + max<i64>(frameOf(0.5 * <f64>(by * block.interval)), 1);
  return WITH_CLOCK;
}

function clockRises(block: Divider): void {
  if (block.edge >= 0) block.interval = block.now - block.edge;
  block.edge = block.now;
  block.fall2 = fired(block, 2, block.fall2);
  block.fall3 = fired(block, 3, block.fall3);
  block.fall4 = fired(block, 4, block.fall4);
  block.fall5 = fired(block, 5, block.fall5);
  block.fall6 = fired(block, 6, block.fall6);
  block.fall8 = fired(block, 8, block.fall8);
  block.fall16 = fired(block, 16, block.fall16);
  block.clocks += 1;
}

// @ts-ignore: decorator
@inline
function fallen(block: Divider, fall: i64): i64 {
  return fall == WITH_CLOCK ? block.now : fall;
}

function clockFalls(block: Divider): void {
  block.fall2 = fallen(block, block.fall2);
  block.fall3 = fallen(block, block.fall3);
  block.fall4 = fallen(block, block.fall4);
  block.fall5 = fallen(block, block.fall5);
  block.fall6 = fallen(block, block.fall6);
  block.fall8 = fallen(block, block.fall8);
  block.fall16 = fallen(block, block.fall16);
}

function reset(block: Divider): void {
  block.clocks = 0;
  block.fall2 = 0;
  block.fall3 = 0;
  block.fall4 = 0;
  block.fall5 = 0;
  block.fall6 = 0;
  block.fall8 = 0;
  block.fall16 = 0;
}

/** The end of a stretch that an output's fall cuts short. */
// @ts-ignore: decorator
@inline
function until(block: Divider, to: i32, fall: i64, i: i32): i32 {
  return fall > block.now ? sooner(to, fall, block.now, i) : to;
}

/** [audio thread] */
export function process(block: Divider, from: i32, to: i32): void {
  const clocked = isPatched(block, DIVIDER_CLOCK);
  const resettable = isPatched(block, DIVIDER_RESET);
  if (!clocked && block.clockHigh) {
    block.clockHigh = 0;
    clockFalls(block);
  }
  if (!resettable) block.resetHigh = 0;
  let clockAt = clocked ? nextChange(block.inputClock, from, to, block.clockHigh) : to;
  let resetAt = resettable ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  let i = from;
  while (i < to) {
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) reset(block);
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    if (clockAt == i) {
      block.clockHigh ^= 1;
      if (block.clockHigh) clockRises(block);
      else clockFalls(block);
      clockAt = nextChange(block.inputClock, i + 1, to, block.clockHigh);
    }
    let n = min<i32>(clockAt, resetAt);
    n = until(block, n, block.fall2, i);
    n = until(block, n, block.fall3, i);
    n = until(block, n, block.fall4, i);
    n = until(block, n, block.fall5, i);
    n = until(block, n, block.fall6, i);
    n = until(block, n, block.fall8, i);
    n = until(block, n, block.fall16, i);
    const now = block.now;
    putGate(block.outputBy2, i, n, block.fall2 > now);
    putGate(block.outputBy3, i, n, block.fall3 > now);
    putGate(block.outputBy4, i, n, block.fall4 > now);
    putGate(block.outputBy5, i, n, block.fall5 > now);
    putGate(block.outputBy6, i, n, block.fall6 > now);
    putGate(block.outputBy8, i, n, block.fall8 > now);
    putGate(block.outputBy16, i, n, block.fall16 > now);
    block.now += n - i;
    i = n;
  }
}
