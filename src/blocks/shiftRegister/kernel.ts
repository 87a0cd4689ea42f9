/**
 * Shift register of voltages. Each clock moves every value one place on; into the first place goes the input, as it is on that
 * frame, with the chance `change`, else the value of place `length` once more. Before the first clock and after a reset all
 * places hold 0 V. Unpatched, the input is white noise, uniform in +-5 V, one draw per output frame, as at a sample and hold.
 */
import { isPatched, read, sloped } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putVolts } from '../../dsp/pulse';
import { drawBipolar, drawUnit, streamOf } from '../../dsp/random';
import { SHIFTREGISTER_CLOCK, SHIFTREGISTER_IN, SHIFTREGISTER_RESET, ShiftRegisterPorts } from '../layouts.gen';

const NOISE_PEAK: f64 = 5;
/** A control voltage that is fully open. */
const OPEN: f64 = 8;
/** Places of the ring, a power of two. */
const PLACES: i32 = 32;

@unmanaged
export class ShiftRegister extends ShiftRegisterPorts {
  noise: u64;
  lots: u64;

  clockHigh: i32;
  resetHigh: i32;
  /** Absolute frame of the next frame to come. */
  now: i64;
  /** Clocks since the start, the number of the next draw. */
  draws: i64;
  /** Where in the ring the newest value lies. */
  newest: i32;
  pad0: i32;
  // the ring, 32 f32
  ring0: v128;
  ring1: v128;
  ring2: v128;
  ring3: v128;
  ring4: v128;
  ring5: v128;
  ring6: v128;
  ring7: v128;
}

export function init(block: ShiftRegister): void {
  block.noise = streamOf(block.seed, 0);
  block.lots = streamOf(block.seed, 1);
}

export function update(block: ShiftRegister): void {}

// @ts-ignore: decorator
@inline
function ring(block: ShiftRegister): usize {
  return changetype<usize>(block) + offsetof<ShiftRegister>('ring0');
}

/** The value that came in `clocks` clocks before the newest. */
// @ts-ignore: decorator
@inline
function past(block: ShiftRegister, clocks: i32): f32 {
  return load<f32>(ring(block) + ((<usize>((block.newest - clocks) & (PLACES - 1))) << 2));
}

function clockRises(block: ShiftRegister, frame: i32): void {
  const amount = sloped(block, block.settingChangeAmount, block.slopeChangeAmount, frame);
  const change = sloped(block, block.settingChange, block.slopeChange, frame) + (amount * <f64>read(block.inputChangeCv, frame)) / OPEN;
  const enters = drawUnit(block.lots, block.draws) < change; // a draw is in 0..1: nothing to clamp
  block.draws += 1;
  let volts = past(block, <i32>block.settingLength - 1);
  if (enters) {
    volts = isPatched(block, SHIFTREGISTER_IN)
      ? read(block.inputIn, frame)
      : <f32>(NOISE_PEAK * drawBipolar(block.noise, block.now / <i64>block.quality));
  }
  block.newest = (block.newest + 1) & (PLACES - 1);
  store<f32>(ring(block) + ((<usize>block.newest) << 2), volts);
}

/** [audio thread] */
export function process(block: ShiftRegister, from: i32, to: i32): void {
  const clocked = isPatched(block, SHIFTREGISTER_CLOCK);
  const resettable = isPatched(block, SHIFTREGISTER_RESET);
  if (!clocked) block.clockHigh = 0;
  if (!resettable) block.resetHigh = 0;
  let clockAt = clocked ? nextChange(block.inputClock, from, to, block.clockHigh) : to;
  let resetAt = resettable ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  let i = from;
  while (i < to) {
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) memory.fill(ring(block), 0, (<usize>PLACES) << 2);
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    if (clockAt == i) {
      block.clockHigh ^= 1;
      if (block.clockHigh) clockRises(block, i);
      clockAt = nextChange(block.inputClock, i + 1, to, block.clockHigh);
    }
    const n = min<i32>(clockAt, resetAt);
    putVolts(block.outputOut1, i, n, past(block, 0));
    putVolts(block.outputOut2, i, n, past(block, 1));
    putVolts(block.outputOut3, i, n, past(block, 2));
    putVolts(block.outputOut4, i, n, past(block, 3));
    putVolts(block.outputLoop, i, n, past(block, <i32>block.settingLength - 1));
    block.now += n - i;
    i = n;
  }
}
