/**
 * Sample and hold, track and hold. Starts at 0 V. Sample: takes the input on the frame of the trigger's rising edge. Track: follows
 * from that frame until the trigger falls below 1.0 V. Unpatched, the input is white noise, uniform in +-5 V, one draw per output
 * frame, so that a take samples the same voltages at every quality.
 */
import { EDGE_OFF, EDGE_ON, hold, isHeld, isPatched, read, vary, write } from '../../dsp/block';
import { drawBipolar } from '../../dsp/random';
import { SAMPLEHOLD_IN, SAMPLEHOLD_TRIGGER, SampleHoldPorts } from '../layouts.gen';

const NOISE_PEAK: f64 = 5;

@unmanaged export class SampleHold extends SampleHoldPorts {
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

/** The input's volts at a frame of the chunk. */
function sample(block: SampleHold, i: i32, from: i32): f32 {
  if (isPatched(block, SAMPLEHOLD_IN)) return read(block.inputIn, i);
  return <f32>(NOISE_PEAK * drawBipolar(block.seed, (block.frame + <i64>(i - from)) / <i64>block.quality));
}

export function process(block: SampleHold, from: i32, to: i32): void {
  const out = block.outputOut;
  if (!out) return;
  const trigger = block.inputTrigger;
  const patched = isPatched(block, SAMPLEHOLD_TRIGGER);
  // a held trigger can only change at the first frame
  const end = !patched ? from : isHeld(trigger, to) ? from + 1 : to;
  const tracking = block.tracking != 0;
  let done = from; // frames written
  for (let i = from; i < end; i++) {
    const volts = read(trigger, i);
    if (block.high ? volts >= EDGE_OFF : volts < EDGE_ON) continue;
    done = fill(block, done, i, from);
    block.high = 1 - block.high;
    if (block.high && !tracking) block.volts = sample(block, i, from);
  }
  fill(block, done, to, from);
  block.frame += <i64>(to - from);
}

/** Writes frames done..to-1, between two changes of the trigger. */
function fill(block: SampleHold, done: i32, to: i32, from: i32): i32 {
  if (done == to) return to;
  const out = block.outputOut;
  if (!block.high || !block.tracking) {
    hold(out, done, to, block.volts);
    return to;
  }
  vary(out, done);
  for (let i = done; i < to; i++) write(out, i, sample(block, i, from));
  block.volts = read(out, to - 1);
  return to;
}
