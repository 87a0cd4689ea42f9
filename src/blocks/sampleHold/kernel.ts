/**
 * Sample and hold, track and hold. Starts at 0 V. Sample: takes the input on the frame of the trigger's rising edge. Track: follows
 * from that frame until the trigger falls below 1.0 V. Unpatched, the input is white noise, uniform in +-5 V, one draw per output
 * frame, so that a take samples the same voltages at every quality.
 */
import { hold, isPatched, read, vary, write } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { drawBipolar } from '../../dsp/random';
import { SAMPLEHOLD_IN, SAMPLEHOLD_TRIGGER, SampleHoldPorts } from '../layouts.gen';

const NOISE_PEAK: f64 = 5;

@unmanaged
export class SampleHold extends SampleHoldPorts {
  // coefficient
  tracking: i32; // mode
  // state
  high: i32; // the trigger was seen high
  volts: f32;
  frame: i64; // engine frames done
}

export function update(block: SampleHold): void {
  block.tracking = <i32>block.settingMode;
}

/** The input's volts at frame i; `start` is the absolute frame of the chunk's frame 0. */
function sample(block: SampleHold, i: i32, start: i64): f32 {
  if (isPatched(block, SAMPLEHOLD_IN)) return read(block.inputIn, i);
  return <f32>(NOISE_PEAK * drawBipolar(block.seed, (start + <i64>i) / <i64>block.quality));
}

export function process(block: SampleHold, from: i32, to: i32): void {
  const trigger = block.inputTrigger;
  const patched = isPatched(block, SAMPLEHOLD_TRIGGER);
  const start = block.frame - <i64>from;
  let done = from; // frames written
  while (done < to) {
    const change = patched ? nextChange(trigger, done, to, block.high) : to;
    if (change == done) {
      block.high ^= 1;
      if (block.high && !block.tracking) block.volts = sample(block, done, start);
    }
    const end = change == done ? nextChange(trigger, done + 1, to, block.high) : change;
    fill(block, done, end, start);
    done = end;
  }
  block.frame += <i64>(to - from);
}

/** Writes frames from..to-1, over which the trigger does not change. */
function fill(block: SampleHold, from: i32, to: i32, start: i64): void {
  const out = block.outputOut;
  if (block.high && block.tracking) {
    block.volts = sample(block, to - 1, start);
    if (!out) return;
    vary(out, from);
    for (let i = from; i < to; i++) write(out, i, sample(block, i, start));
  } else if (out) {
    hold(out, from, to, block.volts);
  }
}
