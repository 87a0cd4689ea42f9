/**
 * Random numbers for kernels (AssemblyScript): SplitMix64 (Steele, Lea, Flood 2014), used as numbered draws.
 * Draw n of a stream needs no draw before it, so that the result depends neither on how frames are cut nor on what
 * else was drawn. 64-bit integers alone: the same bits on every machine.
 */

const GOLDEN: u64 = 0x9e3779b97f4a7c15;

/** The scrambler of SplitMix64: every bit of the input changes about half of the output's bits. */
// @ts-ignore: decorator
@inline
export function scramble(value: u64): u64 {
  let z = value;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
  z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
  return z ^ (z >> 31);
}

/** A stream of its own within a block: `block.seed` and a number that the kernel chooses. */
export function streamOf(seed: u64, stream: u64): u64 {
  return scramble(seed + scramble(stream + GOLDEN));
}

/** 64 random bits: draw n (any sign) of a stream; n = 0, 1, 2... is SplitMix64 seeded with `stream`. */
// @ts-ignore: decorator
@inline
export function drawBits(stream: u64, n: i64): u64 {
  return scramble(stream + (<u64>n + 1) * GOLDEN);
}

/** Draw n of a stream, uniform in -1..1 (1 itself never comes). */
// @ts-ignore: decorator
@inline
export function drawBipolar(stream: u64, n: i64): f64 {
  return <f64>(<i64>drawBits(stream, n) >> 11) * 2.220446049250313e-16;
}

/** Draw n of a stream, uniform in 0..1 (1 itself never comes). */
// @ts-ignore: decorator
@inline
export function drawUnit(stream: u64, n: i64): f64 {
  return <f64>(<i64>(drawBits(stream, n) >> 11)) * 1.1102230246251565e-16;
}
