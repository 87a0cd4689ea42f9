/**
 * Clock multiplier. From the second clock on, each clock starts N pulses of output xN: pulse k begins on the frame nearest to
 * k / N of the last interval after the clock and is high for its share of interval / N. The pulses keep at least one low frame
 * between them; where a clock comes early, a pulse that is high falls on that frame and the first of the new ones begins on the next.
 */
import { isPatched } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate } from '../../dsp/pulse';
import { frameOf, sooner } from '../../dsp/time';
import { MULTIPLIER_CLOCK, MULTIPLIER_RESET, MultiplierPorts } from '../layouts.gen';

const NEVER: i64 = i64.MAX_VALUE;

@unmanaged
export class Multiplier extends MultiplierPorts {
  clockHigh: i32;
  resetHigh: i32;
  /** Pulses are due: a clock has come since the interval is known, and no reset since that clock. */
  running: i32;
  // pulses begun since the last clock
  begun2: i32;
  begun3: i32;
  begun4: i32;
  begun8: i32;
  pad0: i32;
  // absolute frame at which each output falls; low where that is past
  fall2: i64;
  fall3: i64;
  fall4: i64;
  fall8: i64;
  /** Absolute frame of the next frame to come. */
  now: i64;
  /** Absolute frame of the last clock edge, -1 before the first, and frames between the last two (0 = not known). */
  edge: i64;
  interval: i64;
}

export function init(block: Multiplier): void {
  block.edge = -1;
  block.fall2 = block.fall3 = block.fall4 = block.fall8 = -1;
}

export function update(block: Multiplier): void {}

/** Absolute frame of a place counted in pulses of an output since the clock. */
// @ts-ignore: decorator
@inline
function frameAt(block: Multiplier, by: i32, place: f64): i64 {
  return block.edge + frameOf((place * <f64>block.interval) / <f64>by);
}

/** Absolute frame at which an output's next pulse begins, a low frame after its last; never, when all have begun. */
// @ts-ignore: decorator
@inline
function riseAt(block: Multiplier, by: i32, begun: i32, fall: i64): i64 {
  if (!block.running || begun == by) return NEVER;
  return max<i64>(frameAt(block, by, <f64>begun), fall + 1);
}

/** Absolute frame at which the pulse that begins now falls. */
// @ts-ignore: decorator
@inline
function fallAt(block: Multiplier, by: i32, pulse: i32): i64 {
  const width = frameAt(block, by, <f64>pulse + block.settingWidth);
  return max<i64>(min<i64>(width, frameAt(block, by, <f64>(pulse + 1)) - 1), block.now + 1);
}

/** An output that is high falls now. */
// @ts-ignore: decorator
@inline
function cut(block: Multiplier, fall: i64): i64 {
  return min<i64>(fall, block.now);
}

function cutAll(block: Multiplier): void {
  block.fall2 = cut(block, block.fall2);
  block.fall3 = cut(block, block.fall3);
  block.fall4 = cut(block, block.fall4);
  block.fall8 = cut(block, block.fall8);
}

function clockRises(block: Multiplier): void {
  if (block.edge >= 0) block.interval = block.now - block.edge;
  block.edge = block.now;
  block.running = block.interval > 0 ? 1 : 0;
  block.begun2 = block.begun3 = block.begun4 = block.begun8 = 0;
  cutAll(block);
}

/** Begins the pulses that are due. */
function pulses(block: Multiplier): void {
  const now = block.now;
  if (riseAt(block, 2, block.begun2, block.fall2) <= now) {
    block.fall2 = fallAt(block, 2, block.begun2);
    block.begun2 += 1;
  }
  if (riseAt(block, 3, block.begun3, block.fall3) <= now) {
    block.fall3 = fallAt(block, 3, block.begun3);
    block.begun3 += 1;
  }
  if (riseAt(block, 4, block.begun4, block.fall4) <= now) {
    block.fall4 = fallAt(block, 4, block.begun4);
    block.begun4 += 1;
  }
  if (riseAt(block, 8, block.begun8, block.fall8) <= now) {
    block.fall8 = fallAt(block, 8, block.begun8);
    block.begun8 += 1;
  }
}

/** Absolute frame of an output's next change. */
// @ts-ignore: decorator
@inline
function changeAt(block: Multiplier, by: i32, begun: i32, fall: i64): i64 {
  return fall > block.now ? fall : riseAt(block, by, begun, fall);
}

/** [audio thread] */
export function process(block: Multiplier, from: i32, to: i32): void {
  const clocked = isPatched(block, MULTIPLIER_CLOCK);
  const resettable = isPatched(block, MULTIPLIER_RESET);
  if (!clocked) block.clockHigh = 0;
  if (!resettable) block.resetHigh = 0;
  let clockAt = clocked ? nextChange(block.inputClock, from, to, block.clockHigh) : to;
  let resetAt = resettable ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  let i = from;
  while (i < to) {
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) {
        block.running = 0;
        cutAll(block);
      }
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    if (clockAt == i) {
      block.clockHigh ^= 1;
      if (block.clockHigh) clockRises(block);
      clockAt = nextChange(block.inputClock, i + 1, to, block.clockHigh);
    }
    pulses(block);
    const now = block.now;
    const two = min<i64>(changeAt(block, 2, block.begun2, block.fall2), changeAt(block, 3, block.begun3, block.fall3));
    const four = min<i64>(changeAt(block, 4, block.begun4, block.fall4), changeAt(block, 8, block.begun8, block.fall8));
    const n = sooner(min<i32>(clockAt, resetAt), min<i64>(two, four), now, i);
    putGate(block.outputX2, i, n, block.fall2 > now);
    putGate(block.outputX3, i, n, block.fall3 > now);
    putGate(block.outputX4, i, n, block.fall4 > now);
    putGate(block.outputX8, i, n, block.fall8 > now);
    block.now += n - i;
    i = n;
  }
}
