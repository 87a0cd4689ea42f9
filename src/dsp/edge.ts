/**
 * Gates and edges for kernels (AssemblyScript): a detector goes high at 1.5 V and low again below 1.0 V. Its state is one
 * i32 of the block (0 at first, so that an input that is high on frame 0 makes an edge there).
 *
 * A kernel keeps the next frame at which each detector changes and runs straight through between such frames:
 *   let gateAt = nextChange(input, from, to, block.gateHigh);
 *   ... if (gateAt == i) { block.gateHigh ^= 1; gateAt = nextChange(input, i + 1, to, block.gateHigh); }
 */
import { EDGE_OFF, EDGE_ON } from './block';

/** A detector's state after reading these volts. */
// @ts-ignore: decorator
@inline
export function detect(high: i32, volts: f32): i32 {
  return volts >= (high ? EDGE_OFF : EDGE_ON) ? 1 : 0;
}

/** First of the frames from..to-1 at which a detector in state `high` changes, else `to`. */
export function nextChange(signal: usize, from: i32, to: i32, high: i32): i32 {
  if (from >= to) return to;
  let i = from;
  const held = load<i32>(signal - 16);
  if (held > i) {
    if (detect(high, load<f32>(signal + ((<usize>i) << 2))) != high) return i;
    i = min(held, to); // constants are held for ever
  }
  if (high) {
    const off = f32x4.splat(EDGE_OFF);
    for (; i + 4 <= to; i += 4) if (v128.any_true(f32x4.lt(v128.load(signal + ((<usize>i) << 2)), off))) break;
    for (; i < to; i++) if (load<f32>(signal + ((<usize>i) << 2)) < EDGE_OFF) return i;
  } else {
    const on = f32x4.splat(EDGE_ON);
    for (; i + 4 <= to; i += 4) if (v128.any_true(f32x4.ge(v128.load(signal + ((<usize>i) << 2)), on))) break;
    for (; i < to; i++) if (load<f32>(signal + ((<usize>i) << 2)) >= EDGE_ON) return i;
  }
  return to;
}
