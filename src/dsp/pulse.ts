/** Gate and trigger outputs for kernels (AssemblyScript). */
import { GATE_HIGH, hold } from './block';

/** Writes a gate that keeps its state over a range; nothing if nobody reads it. */
// @ts-ignore: decorator
@inline
export function putGate(out: usize, from: i32, to: i32, high: bool): void {
  if (out != 0) hold(out, from, to, high ? GATE_HIGH : 0);
}

/** Writes a voltage that keeps still over a range; nothing if nobody reads it. */
// @ts-ignore: decorator
@inline
export function putVolts(out: usize, from: i32, to: i32, volts: f32): void {
  if (out != 0) hold(out, from, to, volts);
}
