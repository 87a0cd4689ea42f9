/**
 * Band-limited edges without look-ahead (AssemblyScript).
 *
 * A wave with jumps and corners is smooth between them. Sent through a low-pass impulse h(t) that begins at 0 and whose mean is
 * EDGE_DELAY frames, the smooth parts come out EDGE_DELAY frames later as they are; a jump of 1 V at time 0 comes out as the
 * integral of h, a corner as its second and a bend of the slope as its third. So the band-limited wave is the plain wave EDGE_DELAY
 * frames ago plus, for every edge, the difference between the two, which is over once h is over:
 *   step(t) = S(t) - u(t)      ramp(t) = R(t) - u(t) (t - EDGE_DELAY)      curve(t) = Q(t) - u(t) (t - EDGE_DELAY)^2 / 2
 * with u = 0 before EDGE_DELAY and 1 after, S the integral of h, R of S, Q of R.
 *
 * The wave answers an edge on the very next frame (h is nearly minimum-phase): what it clocks, syncs or modulates is not late by
 * half a table. Were the smooth parts not delayed alike, every jump would leave a direct voltage behind, growing with the pitch. A
 * whole number of frames makes that delay exact, also while the frequency moves.
 *
 * h is a cosine series over its length, designed by bandLimitedEdge.design.py, in frames:
 *   narrow (below 80 kHz): 20 frames, within 0.005 dB up to 0.38 of the rate, alias of a saw below -108 dB up to 0.4 of it
 *   wide (80 kHz and more): 12 frames, within 0.001 dB up to 0.24 of the rate, alias below -142 dB up to 0.24 of it
 * A linear-phase table (Kaiser-windowed sinc) of 24 frames reaches no more and comes 12 frames late.
 * Background: Brandt, Hard Sync Without Aliasing (ICMC 2001); Esqueda, Valimaki, Bilbao on corners (EUSIPCO 2016).
 */
import { sine } from './sine';

/** Frames by which an edge is late on the average, and smooth parts exactly. */
export const EDGE_DELAY: i32 = 3;
/** Frames that one edge reaches at most. */
export const EDGE_FRAMES: i32 = 20;
/** Sub-sample positions in the table; between them the edge is interpolated linearly. */
const POSITIONS: i32 = 256;
/** Bytes of a table: positions 0..POSITIONS + 1, each with a row of steps, of ramps and of curves. */
export const EDGE_TABLE_BYTES: i32 = (POSITIONS + 2) * 3 * EDGE_FRAMES * 4;

const NARROW_TERMS: i32 = 30;
const NARROW = memory.data<f64>([
  0.05000000000000022, 0.08908590469663102, 0.0586167610227666, 0.014978828551793104, -0.032468072568822386, -0.07296479415697926,
  -0.09672757623654119, -0.09688827695681337, -0.07183454236388939, -0.026169508945161794, 0.02872896378885413, 0.07664124458271206,
  0.09961869958149411, 0.08435938193738049, 0.029414159082045886, -0.04635074562536843, -0.09614242464874173, -0.057119956907155434,
  0.02967738667633808, 0.04157695165907198, 0.0019333752207523237, -0.0073448217403186715, -0.0008186838184727598, 0.00019665728287455542,
  5.981613466761286e-7, -9.417014017200874e-7, 6.124508121520267e-7, -1.618619941499283e-7, 7.436520566960619e-7, 2.3918470711675743e-7,
]);
const WIDE_FRAMES: i32 = 12;
const WIDE_TERMS: i32 = 18;
const WIDE = memory.data<f64>([
  0.08333333333333337, 0.11773923182584828, -0.0012841838043182383, -0.12092909692675297, -0.16632088131797354, -0.10142552986296996,
  0.03962461006307931, 0.15418275459596367, 0.12376001049226269, -0.03581078130417964, -0.11332347643171399, -0.02713362038988984,
  0.039776222519456346, 0.015692643422340655, -0.005808638759240522, -0.002379676866728097, 0.00024300390511731995, 6.407550636824966e-5,
]);

/** Frames that an edge reaches at this rate; a multiple of 4. */
export function edgeFrames(sampleRate: f64): i32 {
  return sampleRate < 80000 ? EDGE_FRAMES : WIDE_FRAMES;
}

/** Fills a table for a rate in Hz. */
export function fillEdgeTable(table: usize, sampleRate: f64): void {
  const frames = edgeFrames(sampleRate);
  const narrow = frames == EDGE_FRAMES;
  const series = narrow ? NARROW : WIDE;
  const terms = narrow ? NARROW_TERMS : WIDE_TERMS;
  memory.fill(table, 0, EDGE_TABLE_BYTES);
  for (let p = 0; p < POSITIONS + 2; p++) {
    for (let k = 0; k < frames; k++) {
      const t = <f64>k + <f64>p / POSITIONS;
      if (t < <f64>frames)
        fillAt(
          table + <usize>((p * 3 * frames + k) << 2),
          frames << 2,
          series,
          terms,
          t,
          <f64>frames,
          k < EDGE_DELAY ? 0 : t - EDGE_DELAY,
          k >= EDGE_DELAY,
        );
    }
  }
}

/**
 * The differences at time t, `late` = t - EDGE_DELAY behind the delayed edge if that `has come`. With a = pi t / K and the
 * coefficients c[j] of h, S = c[0] t + sum of c[j] (K / pi j) sin j a, R = c[0] t^2 / 2 + sum of c[j] (K / pi j)^2 (1 - cos j a),
 * Q = c[0] t^3 / 6 + sum of c[j] (K / pi j)^2 (t - (K / pi j) sin j a): sums by Clenshaw's recurrence.
 */
function fillAt(at: usize, row: usize, series: usize, terms: i32, t: f64, length: f64, late: f64, hasCome: bool): void {
  const sinA = sine(t / (2 * length));
  const cosA = sine(t / (2 * length) + 0.25);
  let step1: f64 = 0;
  let step2: f64 = 0;
  let ramp1: f64 = 0;
  let ramp2: f64 = 0;
  let curve1: f64 = 0;
  let curve2: f64 = 0;
  let still: f64 = 0;
  for (let j = terms - 1; j > 0; j--) {
    const width = length / (Math.PI * <f64>j);
    const once = load<f64>(series + ((<usize>j) << 3)) * width;
    const twice = once * width;
    still += twice;
    const step0 = once + 2 * cosA * step1 - step2;
    step2 = step1;
    step1 = step0;
    const ramp0 = twice + 2 * cosA * ramp1 - ramp2;
    ramp2 = ramp1;
    ramp1 = ramp0;
    const curve0 = twice * width + 2 * cosA * curve1 - curve2;
    curve2 = curve1;
    curve1 = curve0;
  }
  const mean = load<f64>(series);
  const step = mean * t + step1 * sinA;
  const ramp = (mean * t * t) / 2 + still - (ramp1 * cosA - ramp2);
  const curve = (mean * t * t * t) / 6 + still * t - curve1 * sinA;
  store<f32>(at, <f32>(hasCome ? step - 1 : step));
  store<f32>(at + row, <f32>(ramp - late));
  store<f32>(at + 2 * row, <f32>(curve - (late * late) / 2));
}

/**
 * Adds a jump of `height` V to the sums (f32 per frame) at `at`, whose first frame comes `since` (0..1) frames after the edge.
 * `frames` is `edgeFrames` of the table.
 */
export function addStep(table: usize, frames: i32, at: usize, since: f64, height: f64): void {
  addRows(table, frames, at, since, height, 0);
}

/** The same for a corner that changes the slope by `slope` V per frame and its bend by `bend` V per frame and frame. */
export function addCorner(table: usize, frames: i32, at: usize, since: f64, slope: f64, bend: f64): void {
  addRows(table, frames, at, since, slope, frames << 2);
  if (bend != 0) addRows(table, frames, at, since, bend, frames << 3);
}

// @ts-ignore: decorator
@inline
function addRows(table: usize, frames: i32, at: usize, since: f64, amount: f64, shift: usize): void {
  const position = since * <f64>POSITIONS;
  const p = <i32>position;
  const share = position - <f64>p;
  const right = f32x4.splat(<f32>(amount * share));
  const left = f32x4.splat(<f32>(amount * (1 - share)));
  const bytes = <usize>(frames * 12);
  let row = table + <usize>p * bytes + shift;
  const stop = row + ((<usize>frames) << 2);
  for (; row < stop; row += 16, at += 16) {
    const edge = f32x4.add(f32x4.mul(v128.load(row), left), f32x4.mul(v128.load(row + bytes), right));
    v128.store(at, f32x4.add(v128.load(at), edge));
  }
}
