/**
 * Band-limited edges without look-ahead (AssemblyScript).
 *
 * A wave with jumps and corners is smooth between them. Sent through a low-pass impulse h(t) that begins at 0 and whose mean is
 * EDGE_DELAY frames, the smooth parts come out EDGE_DELAY frames later as they are; a jump of 1 V at time 0 comes out as S(t), the
 * integral of h, and a corner that changes the slope by 1 V per frame as R(t), the integral of S. So the band-limited wave is the
 * plain wave EDGE_DELAY frames ago plus, for every edge,
 *   step(t) = S(t) - (0 before EDGE_DELAY, 1 after)        ramp(t) = R(t) - max(0, t - EDGE_DELAY)
 * which are over once h is over. The wave answers an edge on the very next frame (h is nearly minimum-phase): what it clocks, syncs
 * or modulates is not late by half a table. Were the smooth parts not delayed alike, every jump would leave a direct voltage
 * behind, growing with the pitch. A whole number of frames makes that delay exact, also while the frequency moves.
 *
 * h is a cosine series over its length, designed by bandLimitedEdge.design.py, in frames:
 *   narrow (below 80 kHz): 16 frames, within 0.005 dB up to 0.345 of the rate, alias of a saw below -119 dB up to 0.35 of it
 *   wide (80 kHz and more): 12 frames, within 0.001 dB up to 0.24 of the rate, alias below -142 dB up to 0.24 of it
 * A linear-phase table (Kaiser-windowed sinc) of 24 frames reaches no more and comes 12 frames late.
 * Background: Brandt, Hard Sync Without Aliasing (ICMC 2001); Esqueda, Valimaki, Bilbao on corners (EUSIPCO 2016).
 */
import { sine } from './sine';

/** Frames by which an edge is late on the average, and smooth parts exactly. */
export const EDGE_DELAY: i32 = 3;
/** Frames that one edge reaches at most: the longest tail of an accumulator. */
export const EDGE_FRAMES: i32 = 16;
/** Sub-sample positions in the table; between them the edge is interpolated linearly. */
const POSITIONS: i32 = 256;
/** Bytes of a table: positions 0..POSITIONS + 1, each with a row of steps and a row of ramps. */
export const EDGE_TABLE_BYTES: i32 = (POSITIONS + 2) * 2 * EDGE_FRAMES * 4;

const NARROW_TERMS: i32 = 25;
const NARROW = memory.data<f64>([
  0.06249999999999987, 0.10390326705351559, 0.047327757792919214, -0.02601899951507654, -0.0911751957020458,
  -0.12386173820326352, -0.10954411941062236, -0.049722624447210234, 0.034215112703395376, 0.10531389110621593,
  0.12236954867418591, 0.061909787203012066, -0.05225370903201867, -0.10789887609683563, -0.033016114592133064,
  0.04128119109502716, 0.023025389581079345, -0.00499119209330925, -0.003513771594342163, 8.525664115523472e-05,
  6.555909069013181e-05, -1.087849034802843e-07, -5.764457483119212e-07, 1.4604167294235415e-07, 1.1893464063258974e-07,
]);
const WIDE_TERMS: i32 = 18;
const WIDE = memory.data<f64>([
  0.08333333333333333, 0.11773968961672104, -0.0012770514185386564, -0.12091618597410018, -0.16632355519100714,
  -0.10149709083068312, 0.03945499015053056, 0.15411121767941044, 0.12419541419285055, -0.03539914541937217,
  -0.11375410214721737, -0.027568741739220366, 0.03997343928969939, 0.015871858386770247, -0.005847762560738809,
  -0.002406421056558321, 0.0002452943510878776, 6.481933703258308e-05,
]);

/** Frames that an edge reaches at this rate; a multiple of 4. */
export function edgeFrames(sampleRate: f64): i32 {
  return sampleRate < 80000 ? EDGE_FRAMES : 12;
}

/** Fills a table for a rate in Hz. */
export function fillEdgeTable(table: usize, sampleRate: f64): void {
  const frames = edgeFrames(sampleRate);
  const narrow = frames == EDGE_FRAMES;
  const series = narrow ? NARROW : WIDE;
  const terms = narrow ? NARROW_TERMS : WIDE_TERMS;
  for (let p = 0; p < POSITIONS + 2; p++) {
    const row = table + <usize>(p * 2 * frames * 4);
    for (let k = 0; k < frames; k++) {
      const i = k * POSITIONS + p;
      let step: f64 = 0;
      let ramp: f64 = 0;
      if (i < frames * POSITIONS) {
        const t = <f64>i / POSITIONS;
        step = integral(series, terms, frames, i) - (k < EDGE_DELAY ? 0 : 1);
        ramp = integralTwice(series, terms, frames, i) - (k < EDGE_DELAY ? 0 : t - EDGE_DELAY);
      }
      store<f32>(row + (<usize>k << 2), <f32>step);
      store<f32>(row + (<usize>(frames + k) << 2), <f32>ramp);
    }
  }
}

/** S at t = i / POSITIONS frames: c[0] t + sum of c[j] (K / pi j) sin(pi j t / K). */
function integral(series: usize, terms: i32, frames: i32, i: i32): f64 {
  let sum = load<f64>(series) * (<f64>i / POSITIONS);
  const period = 2 * frames * POSITIONS;
  for (let j = 1; j < terms; j++) {
    const turn = <f64>((i * j) % period) / <f64>period;
    sum += load<f64>(series + (<usize>j << 3)) * (<f64>frames / (Math.PI * <f64>j)) * sine(turn);
  }
  return sum;
}

/** R at t = i / POSITIONS frames: c[0] t^2 / 2 + sum of c[j] (K / pi j)^2 (1 - cos(pi j t / K)). */
function integralTwice(series: usize, terms: i32, frames: i32, i: i32): f64 {
  const t = <f64>i / POSITIONS;
  let sum = load<f64>(series) * t * t * 0.5;
  const period = 2 * frames * POSITIONS;
  for (let j = 1; j < terms; j++) {
    const turn = <f64>((i * j) % period) / <f64>period;
    const width = <f64>frames / (Math.PI * <f64>j);
    sum += load<f64>(series + (<usize>j << 3)) * width * width * (1 - sine(turn + 0.25));
  }
  return sum;
}

/**
 * Adds a step of `height` V to the accumulator (f32 per frame) at `at`, whose first frame comes `since` (0..1) frames after the
 * edge. `frames` is `edgeFrames` of the table.
 */
// @ts-ignore: decorator
@inline
export function addStep(table: usize, frames: i32, at: usize, since: f64, height: f64): void {
  addRow(table, frames, at, since, height, 0);
}

/** The same for a corner that changes the slope by `slope` V per frame. */
// @ts-ignore: decorator
@inline
export function addRamp(table: usize, frames: i32, at: usize, since: f64, slope: f64): void {
  addRow(table, frames, at, since, slope, frames);
}

function addRow(table: usize, frames: i32, at: usize, since: f64, amount: f64, shift: i32): void {
  const position = since * <f64>POSITIONS;
  const p = <i32>position;
  const share = position - <f64>p;
  const right = f32x4.splat(<f32>(amount * share));
  const left = f32x4.splat(<f32>(amount * (1 - share)));
  const bytes = <usize>(frames << 3);
  let row = table + <usize>p * bytes + (<usize>shift << 2);
  const stop = row + (<usize>frames << 2);
  for (; row < stop; row += 16, at += 16) {
    const edge = f32x4.add(f32x4.mul(v128.load(row), left), f32x4.mul(v128.load(row + bytes), right));
    v128.store(at, f32x4.add(v128.load(at), edge));
  }
}

/** Puts the `left` frames that past edges still reach in front of an accumulator that is all zero. */
// @ts-ignore: decorator
@inline
export function openTail(edges: usize, tail: usize, left: i32): void {
  for (let i = 0; i < left; i += 4) v128.store(edges + (<usize>i << 2), v128.load(tail + (<usize>i << 2)));
}

/**
 * Keeps what lies beyond `count` frames of an accumulator that is zero from `busy` on, and zeroes it. Answers how many frames that is.
 */
// @ts-ignore: decorator
@inline
export function closeTail(edges: usize, tail: usize, busy: i32, count: i32): i32 {
  if (busy == 0) return 0;
  for (let i = 0; i < busy - count; i += 4) v128.store(tail + (<usize>i << 2), v128.load(edges + (<usize>(count + i) << 2)));
  for (let i = 0; i < busy; i += 4) v128.store(edges + (<usize>i << 2), f32x4.splat(0));
  return max(0, busy - count);
}
