/**
 * Sixteen delay lines side by side (AssemblyScript), each a ring of `size` frames (a multiple of 4) and its first four frames again
 * behind the end, so that four frames in a row can be read from any place. All are written at the same place `at`; a batch of up to four
 * frames never passes the end. Batches lie frame by frame: 16 f32 of one frame, then 16 of the next.
 */
import { transpose } from './transpose';

/** Lines there are. */
export const RINGS: i32 = 16;
/** Frames in a batch, and frames repeated behind a ring's end. */
export const BATCH: i32 = 4;
const FRAME: usize = 16 * 4;

/** Address of ring i of those at `base`; ring 16 is where the memory of the rings ends. */
// @ts-ignore: decorator
@inline
export function ringAt(base: usize, size: i32, i: i32): usize {
  return base + ((<usize>(i * (size + BATCH))) << 2);
}

/** Address of the frame `delay` before `at` in a ring. */
// @ts-ignore: decorator
@inline
function back(ring: usize, size: i32, at: i32, delay: i32): usize {
  const place = at - delay;
  return ring + ((<usize>(place < 0 ? place + size : place)) << 2);
}

/** Reads `count` frames of all rings, each as many frames back as the i32 list `delays` says (4 or more), into a batch. */
export function takeBatch(batch: usize, base: usize, size: i32, at: i32, delays: usize, count: i32): void {
  const stride = (<usize>(size + BATCH)) << 2;
  for (let i: usize = 0; i < <usize>RINGS; i += 4) {
    const list = delays + (i << 2);
    const ring = base + i * stride;
    const a = back(ring, size, at, load<i32>(list));
    const b = back(ring + stride, size, at, load<i32>(list, 4));
    const c = back(ring + 2 * stride, size, at, load<i32>(list, 8));
    const d = back(ring + 3 * stride, size, at, load<i32>(list, 12));
    let to = batch + (i << 2);
    if (count == BATCH) {
      transpose(v128.load(a), v128.load(b), v128.load(c), v128.load(d), to, FRAME);
      continue;
    }
    for (let k: usize = 0; k < <usize>count; k++, to += FRAME) {
      store<f32>(to, load<f32>(a + (k << 2)));
      store<f32>(to, load<f32>(b + (k << 2)), 4);
      store<f32>(to, load<f32>(c + (k << 2)), 8);
      store<f32>(to, load<f32>(d + (k << 2)), 12);
    }
  }
}

/** Reads one ring `length` frames back, between frames by Lagrange's four points: never louder, exact at whole frames. */
export function takeBetween(ring: usize, size: i32, at: i32, length: f64): f32 {
  const whole = <i32>ceil<f64>(length);
  const d = <f32>(<f64>whole - length);
  const x = back(ring, size, at, whole + 1);
  const now = load<f32>(x, 4);
  if (d == 0) return now;
  const up = d + 1;
  const down = d - 1;
  const far = d - 2;
  const outer = down * far * (3 * up * now - d * load<f32>(x));
  return (outer + up * d * (down * load<f32>(x, 12) - 3 * far * load<f32>(x, 8))) * <f32>(1.0 / 6);
}

/** Writes `count` frames of a batch into all rings at place `at`. */
export function giveBatch(batch: usize, base: usize, size: i32, at: i32, count: i32): void {
  const stride = (<usize>(size + BATCH)) << 2;
  const end = (<usize>size) << 2;
  for (let i: usize = 0; i < <usize>RINGS; i += 4) {
    let to = base + i * stride + ((<usize>at) << 2);
    let from = batch + (i << 2);
    if (count == BATCH) {
      transpose(v128.load(from), v128.load(from, 64), v128.load(from, 128), v128.load(from, 192), to, stride);
      if (at == 0) for (let k: usize = 0; k < 4; k++) v128.store(to + k * stride + end, v128.load(to + k * stride));
      continue;
    }
    for (let k = 0; k < count; k++, from += FRAME, to += 4) {
      for (let j: usize = 0; j < 4; j++) {
        const volts = load<f32>(from + (j << 2));
        store<f32>(to + j * stride, volts);
        if (at + k < BATCH) store<f32>(to + j * stride + end, volts);
      }
    }
  }
}
