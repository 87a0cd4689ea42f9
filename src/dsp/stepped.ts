/** Rows of steps that a clock or a voltage walks along, for kernels (AssemblyScript). Steps count from 0; -1 is ahead of the first. */
import { isHeld, read } from './block';

/** Volts that an address runs over all steps. */
const ADDRESS_SPAN: f64 = 8;

/** The step that the next clock plays. */
// @ts-ignore: decorator
@inline
export function stepAfter(step: i32, steps: i32): i32 {
  return step + 1 < steps ? step + 1 : 0;
}

/** The step that a voltage points at: 0..8 V in `steps` equal parts, the lower bound of each belonging to it. */
// @ts-ignore: decorator
@inline
export function stepAt(volts: f32, steps: i32): i32 {
  const step = <i32>floor<f64>((<f64>volts * <f64>steps) / ADDRESS_SPAN);
  return min<i32>(max<i32>(step, 0), steps - 1);
}

/** First of the frames from + 1..to - 1 at which an address points at another step, else `to`. */
export function nextStep(address: usize, from: i32, to: i32, steps: i32): i32 {
  if (isHeld(address, to)) return to;
  const step = stepAt(read(address, from), steps);
  let i = from + 1;
  while (i < to && stepAt(read(address, i), steps) == step) i++;
  return i;
}
