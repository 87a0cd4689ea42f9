/** A signal times a constant, for kernels (AssemblyScript): four frames at a time, the same bits one by one. */
import { read, write } from './block';

/** One frame; the added 0 turns -0 into 0, so that nothing at all rests at one value. */
// @ts-ignore: decorator
@inline
export function scaled(volts: f32, gain: f32): f32 {
  return volts * gain + 0;
}

/** out = in x gain over a range; the caller has called `vary` and knows that the product stays within the rails. */
export function scale(input: usize, out: usize, from: i32, to: i32, gain: f32): void {
  const gains = f32x4.splat(gain);
  const zero = f32x4.splat(0);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    v128.store(out + at, f32x4.add(f32x4.mul(v128.load(input + at), gains), zero));
  }
  for (; i < to; i++) write(out, i, scaled(read(input, i), gain));
}
