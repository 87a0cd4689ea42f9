/** Four lanes times four vectors, turned over (AssemblyScript): from one line per vector to one frame per vector and back. */

/** Turns four rows into four columns, written `stride` bytes apart. */
// @ts-ignore: decorator
@inline
export function transpose(a: v128, b: v128, c: v128, d: v128, to: usize, stride: usize): void {
  const low1 = v128.shuffle<f32>(a, b, 0, 4, 1, 5),
    high1 = v128.shuffle<f32>(a, b, 2, 6, 3, 7);
  const low2 = v128.shuffle<f32>(c, d, 0, 4, 1, 5),
    high2 = v128.shuffle<f32>(c, d, 2, 6, 3, 7);
  v128.store(to, v128.shuffle<f32>(low1, low2, 0, 1, 4, 5));
  v128.store(to + stride, v128.shuffle<f32>(low1, low2, 2, 3, 6, 7));
  v128.store(to + 2 * stride, v128.shuffle<f32>(high1, high2, 0, 1, 4, 5));
  v128.store(to + 3 * stride, v128.shuffle<f32>(high1, high2, 2, 3, 6, 7));
}
