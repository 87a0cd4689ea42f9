/**
 * Half-band filters that double and halve a rate (AssemblyScript): elliptic, two chains of all-passes side by side in the lanes of one
 * f64x2, so that a frame costs a few multiplications. Coefficients and figures: halfBand.design.py (Valenzuela and Constantinides,
 * IEE Proc. G 130(6), 1983).
 *
 * They are not linear in phase, and that is why they are here: a shaper with a delay of a few frames can stand in a loop or beside
 * its dry signal, where a linear-phase pair as steep comes 20 to 30 frames late. Direct voltage passes unchanged.
 *
 * Signals are f64 frames in a row. A filter's state is v128 in a row, 0 at first; a constant far below hearing has to be in the
 * signal, so that it never turns denormal.
 */

/** Pass band to 0.225 of the higher rate, 107 dB down from 0.275 of it: 21.6 and 26.4 kHz between 48 and 96 kHz. */
const STEEP = memory.data<f64>(
  [
    0.03583278843106211, 0.1340901419430669, 0.2720401433964576, 0.4243248712718685, 0.5720571972357003, 0.7062921421386394,
    0.827124761997324, 0.9415030941737551,
  ],
  16,
);
/** 80 dB down from 0.415 of the higher rate (80 kHz of 192 kHz), more towards its half: for what lies above the band already. */
const GENTLE = memory.data<f64>([0.1189173774954112, 0.5524104469762308], 16);

/** State bytes of a steep and of a gentle filter. */
export const STEEP_BYTES: i32 = 5 * 16;
export const GENTLE_BYTES: i32 = 2 * 16;

/** An all-pass: the frame that came in before, its coefficients, the frame that comes in, the one that went out before. */
// @ts-ignore: decorator
@inline
function pass(before: v128, coefficient: v128, x: v128, out: v128): v128 {
  return f64x2.add(before, f64x2.mul(coefficient, f64x2.sub(x, out)));
}

/** Doubles the rate: `count` frames in, twice as many out. */
export function steepUp(state: usize, input: usize, count: i32, out: usize): void {
  steep(true, state, input, count, out);
}

/** Halves the rate: twice `count` frames in, `count` out. */
export function steepDown(state: usize, input: usize, count: i32, out: usize): void {
  steep(false, state, input, count, out);
}

/** The same with the gentle filter. */
export function gentleUp(state: usize, input: usize, count: i32, out: usize): void {
  gentle(true, state, input, count, out);
}

export function gentleDown(state: usize, input: usize, count: i32, out: usize): void {
  gentle(false, state, input, count, out);
}

/**
 * What the chains get. In doubling both get the frame, and each gives one of the two that come out; in halving each gets one of two frames,
 * and their mean comes out.
 */
// @ts-ignore: decorator
@inline
function enter(doubles: bool, input: usize, n: i32): v128 {
  if (doubles) return v128.load64_splat(input + ((<usize>n) << 3));
  const pair = v128.load(input + ((<usize>n) << 4));
  return v128.shuffle<f64>(pair, pair, 1, 0);
}

// @ts-ignore: decorator
@inline
function leave(doubles: bool, out: usize, n: i32, chains: v128): void {
  if (doubles) v128.store(out + ((<usize>n) << 4), chains);
  else store<f64>(out + ((<usize>n) << 3), 0.5 * (f64x2.extract_lane(chains, 0) + f64x2.extract_lane(chains, 1)));
}

// @ts-ignore: decorator
@inline
function steep(doubles: bool, state: usize, input: usize, count: i32, out: usize): void {
  const c1 = v128.load(STEEP);
  const c2 = v128.load(STEEP, 16);
  const c3 = v128.load(STEEP, 32);
  const c4 = v128.load(STEEP, 48);
  let z0 = v128.load(state);
  let z1 = v128.load(state, 16);
  let z2 = v128.load(state, 32);
  let z3 = v128.load(state, 48);
  let z4 = v128.load(state, 64);
  for (let n = 0; n < count; n++) {
    const x = enter(doubles, input, n);
    const y1 = pass(z0, c1, x, z1);
    const y2 = pass(z1, c2, y1, z2);
    const y3 = pass(z2, c3, y2, z3);
    z4 = pass(z3, c4, y3, z4);
    z0 = x;
    z1 = y1;
    z2 = y2;
    z3 = y3;
    leave(doubles, out, n, z4);
  }
  v128.store(state, z0);
  v128.store(state, z1, 16);
  v128.store(state, z2, 32);
  v128.store(state, z3, 48);
  v128.store(state, z4, 64);
}

// @ts-ignore: decorator
@inline
function gentle(doubles: bool, state: usize, input: usize, count: i32, out: usize): void {
  const c1 = v128.load(GENTLE);
  let z0 = v128.load(state);
  let z1 = v128.load(state, 16);
  for (let n = 0; n < count; n++) {
    const x = enter(doubles, input, n);
    z1 = pass(z0, c1, x, z1);
    z0 = x;
    leave(doubles, out, n, z1);
  }
  v128.store(state, z0);
  v128.store(state, z1, 16);
}
