/**
 * The edges of saw, pulse, triangle and sine of one phase (AssemblyScript): where they fall between two frames and what they add.
 * A path is a frequency f, its bend and its curl (phasePath.ts); the width of the pulse follows one of its own.
 */
import { addCorner, addStep } from './bandLimitedEdge';
import {
  curlOf,
  cyclesOf,
  cyclesToStart,
  framesToStart,
  frequencyOn,
  passesStart,
  phaseOf,
  placeOf,
  reaches,
  restOfFrame,
  timeOf,
  wayOn,
} from './phasePath';
import { sine } from './sine';

const QUARTER: u64 = 1 << 62;
const HALF: u64 = 1 << 63;

/** Where edges are added: by output the sums (f32 per frame, 0 = not read), and the first frame from which on they are all 0. */
@unmanaged
export class EdgeSums {
  table: usize;
  /** Frames that an edge reaches. */
  reach: i32;
  sine: usize;
  triangle: usize;
  saw: usize;
  pulse: usize;
  sineBusy: i32;
  triangleBusy: i32;
  sawBusy: i32;
  pulseBusy: i32;
}

// @ts-ignore: decorator
@inline
function sawStep(sums: EdgeSums, k: i32, since: f64, volts: f64): void {
  if (sums.saw == 0) return;
  addStep(sums.table, sums.reach, sums.saw + ((<usize>k) << 2), since, volts);
  sums.sawBusy = k + sums.reach;
}

/** The saw's slope changes by `slope` V per frame, and that by `bend`. */
export function sawCorner(sums: EdgeSums, k: i32, since: f64, slope: f64, bend: f64): void {
  if (sums.saw == 0) return;
  addCorner(sums.table, sums.reach, sums.saw + ((<usize>k) << 2), since, slope, bend);
  sums.sawBusy = k + sums.reach;
}

// @ts-ignore: decorator
@inline
function pulseStep(sums: EdgeSums, k: i32, since: f64, volts: f64): void {
  if (sums.pulse == 0) return;
  addStep(sums.table, sums.reach, sums.pulse + ((<usize>k) << 2), since, volts);
  sums.pulseBusy = k + sums.reach;
}

/** The triangle's slope changes by `slope` V per frame, and that by `bend`. */
export function triangleCorner(sums: EdgeSums, k: i32, since: f64, slope: f64, bend: f64): void {
  if (sums.triangle == 0) return;
  addCorner(sums.table, sums.reach, sums.triangle + ((<usize>k) << 2), since, slope, bend);
  sums.triangleBusy = k + sums.reach;
}

/** The phase passes 0 in frame k at `time`: the saw jumps, the pulse rises; going backwards the reverse. */
// @ts-ignore: decorator
@inline
function passStart(sums: EdgeSums, k: i32, time: f64, way: f64): void {
  const since = restOfFrame(time);
  sawStep(sums, k, since, -10 * way);
  pulseStep(sums, k, since, 10 * way);
}

/** On its way from x the phase passes 1/4 or 3/4: the triangle turns. */
function passCorner(sums: EdgeSums, k: i32, x: u64, from: f64, length: f64, f: f64, bend: f64, curl: f64, way: f64): void {
  const y = x - QUARTER; // below 1/2 the triangle falls
  const time = timeOf(cyclesToStart(y << 1, way) * 0.5, f, bend, curl, length, way);
  const change: f64 = y < HALF != way > 0 ? -40 * way : 40 * way;
  const speed = frequencyOn(time, f, bend, curl);
  triangleCorner(sums, k, restOfFrame(from + time), change * speed, change * (bend + curl * time));
}

/** The phase lies `ahead` cycles before (below 0) or behind the width and passes it, way +1 or -1, on a path relative to it: the pulse falls. */
// @ts-ignore: decorator
@inline
function passWidth(sums: EdgeSums, k: i32, mark: f64, ahead: f64, from: f64, length: f64, f: f64, bend: f64, curl: f64, way: f64): void {
  pulseStep(sums, k, restOfFrame(from + timeOf(mark - ahead, f, bend, curl, length, way)), -10 * way);
}

/** The mark in whole cycles that the phase next passes relative to the width. */
// @ts-ignore: decorator
@inline
function nextMark(ahead: f64, way: f64): f64 {
  return way > 0 ? (ahead < 0 ? 0 : 1) : ahead < 0 ? -1 : 0;
}

/**
 * All edges of frame k on the way from phase x over `step`, begun `from` after the last frame and `length` long, while the width goes
 * from w0 to w1 with `grow` per frame, growing by `surge`.
 */
function passPiece(
  sums: EdgeSums,
  k: i32,
  x: u64,
  step: i64,
  from: f64,
  length: f64,
  f: f64,
  bend: f64,
  curl: f64,
  w0: f64,
  w1: f64,
  grow: f64,
  surge: f64,
): void {
  const end = x + <u64>step;
  const way: f64 = step < 0 ? -1 : 1;
  let starts = 0;
  if (passesStart(x, step)) {
    starts = step < 0 ? -1 : 1;
    passStart(sums, k, from + timeOf(cyclesToStart(x, way), f, bend, curl, length, way), way);
  } else if (f * frequencyOn(length, f, bend, curl) < 0) {
    // Through zero: the phase may pass its start and come back within the frame.
    const out: f64 = f < 0 ? -1 : 1;
    const distance = cyclesToStart(x, out);
    if (reaches(distance, f, bend, curl, length) && (out < 0 || x != 0)) {
      passStart(sums, k, from + timeOf(distance, f, bend, curl, length, out), out);
      passStart(sums, k, from + timeOf(distance, f, bend, curl, length, -out), -out);
    }
  }
  if (sums.triangle != 0 && <i64>((x - QUARTER) ^ (end - QUARTER)) < 0) passCorner(sums, k, x, from, length, f, bend, curl, way);
  if (sums.pulse == 0) return;
  const falls = starts - (<i32>(end < placeOf(w1)) - <i32>(x < placeOf(w0)));
  const ahead = cyclesOf(x) - w0;
  const speed = f - grow;
  const drift = bend - surge;
  if (falls != 0) {
    const toward: f64 = falls > 0 ? 1 : -1;
    let mark = nextMark(ahead, toward);
    for (let i = abs<i32>(falls); i > 0; i--, mark += toward) passWidth(sums, k, mark, ahead, from, length, speed, drift, curl, toward);
  } else if (speed * frequencyOn(length, speed, drift, curl) < 0) {
    // The width overtakes the phase and falls back, or the reverse, within the frame.
    const out: f64 = speed < 0 ? -1 : 1;
    const mark = nextMark(ahead, out);
    if (reaches(mark - ahead, speed, drift, curl, length) && mark != ahead) {
      passWidth(sums, k, mark, ahead, from, length, speed, drift, curl, out);
      passWidth(sums, k, mark, ahead, from, length, speed, drift, curl, -out);
    }
  }
}

/** Second difference of the width; 0 where it jumps, as a parabola through a jump leaves its bounds. */
function surgeOf(w1: f64, w0: f64, w2: f64): f64 {
  const surge = curlOf(w1, w0, w2);
  return abs<f64>(surge) < 0.25 ? surge : 0;
}

/** All edges of frame k between the phases x and x + step: frequencies f1, f0 and `f2`, widths w1, w0 and w2, newest first. */
export function passFrame(sums: EdgeSums, k: i32, x: u64, step: i64, f1: f64, f0: f64, f2: f64, w1: f64, w0: f64, w2: f64): void {
  const curl = curlOf(f1, f0, f2);
  const surge = surgeOf(w1, w0, w2);
  passPiece(sums, k, x, step, 0, 1, f0, f1 - f0 - 0.5 * curl, curl, w0, w1, w1 - w0 - 0.5 * surge, surge);
}

/** Plain triangle, V. */
function triangleAt(x: u64): f64 {
  return 5 - 20 * abs<f64>(cyclesOf(x - QUARTER) - (x - QUARTER >= HALF ? 1 : 0));
}

/** Its slope, V per cycle. */
function triangleSlope(x: u64): f64 {
  return x - QUARTER < HALF ? -20 : 20;
}

/**
 * Frame k, in which the sync input rises through 0 V at the time `at`: the way to there, the start afresh or the turn, the way on.
 * Otherwise as `passFrame`. Answers the phase on the frame.
 */
export function passSync(sums: EdgeSums, k: i32, x: u64, at: f64, turn: bool, f1: f64, f0: f64, f2: f64, w1: f64, w0: f64, w2: f64): u64 {
  const curl = curlOf(f1, f0, f2);
  const bend = f1 - f0 - 0.5 * curl;
  const surge = surgeOf(w1, w0, w2);
  const grow = w1 - w0 - 0.5 * surge;
  const width = max<f64>(0, min<f64>(0.999, w0 + wayOn(at, grow, surge, 0)));
  const step = phaseOf(wayOn(at, f0, bend, curl));
  if (at > 0) passPiece(sums, k, x, step, 0, at, f0, bend, curl, w0, width, grow, surge);
  const old = x + <u64>step;
  const now = turn ? old : 0;
  const way: f64 = turn ? -1 : 1;
  const since = restOfFrame(at);
  const f = frequencyOn(at, f0, bend, curl);
  const bent = bend + curl * at;
  const p0 = cyclesOf(old);
  const p1 = cyclesOf(now);
  if (turn) {
    sawCorner(sums, k, since, -20 * f, -20 * bent);
  } else {
    sawStep(sums, k, since, 10 * (p1 - p0));
    if (old >= placeOf(width)) pulseStep(sums, k, since, 10);
    if (sums.triangle != 0) addStep(sums.table, sums.reach, sums.triangle + ((<usize>k) << 2), since, triangleAt(now) - triangleAt(old));
  }
  const change = way * triangleSlope(now) - triangleSlope(old);
  triangleCorner(sums, k, since, change * f, change * bent);
  if (sums.sine != 0) {
    const s0 = sine(p0);
    const s1 = sine(p1);
    const c = way * sine(p1 + 0.25) - sine(p0 + 0.25);
    const to = sums.sine + ((<usize>k) << 2);
    if (!turn) addStep(sums.table, sums.reach, to, since, 5 * (s1 - s0));
    addCorner(sums.table, sums.reach, to, since, 10 * Math.PI * c * f, 10 * Math.PI * (c * bent - 2 * Math.PI * (s1 - s0) * f * f));
    sums.sineBusy = k + sums.reach;
  }
  const left = 1 - at;
  const on = phaseOf(way * wayOn(left, f, bent, curl));
  passPiece(sums, k, now, on, at, left, way * f, way * bent, way * curl, width, w1, grow + surge * at, surge);
  return now + <u64>on;
}

/**
 * Starts and falls of `count` frames at a steady f, found by division, from phase x on; frame k is the first. `width` is a share of the
 * cycle.
 */
export function passStarts(sums: EdgeSums, x: u64, step: i64, f: f64, width: f64, count: i32, k: i32): void {
  const place = placeOf(width);
  const way: f64 = step < 0 ? -1 : 1;
  let rise = framesToStart(x, step);
  let drop = sums.pulse != 0 ? framesToStart(x - place, step) : u64.MAX_VALUE;
  while (true) {
    const next = min(rise, drop);
    if (next > <u64>count) return;
    const before = x + (next - 1) * <u64>step;
    const at = k + <i32>next - 1;
    if (next == rise) {
      passStart(sums, at, timeOf(cyclesToStart(before, way), f, 0, 0, 1, way), way);
      rise += framesToStart(before + <u64>step, step);
    }
    if (next == drop) {
      const ahead = cyclesOf(before) - width;
      passWidth(sums, at, nextMark(ahead, way), ahead, 0, 1, f, 0, 0, way);
      drop += framesToStart(before + <u64>step - place, step);
    }
  }
}

/** Corners likewise. */
export function passCorners(sums: EdgeSums, x: u64, step: i64, f: f64, count: i32, k: i32): void {
  const way: f64 = step < 0 ? -1 : 1;
  const speed = (<u64>abs<i64>(step)) << 1;
  let next: u64 = 0;
  while (true) {
    const y = (x + next * <u64>step - QUARTER) << 1; // through 0 at each corner, twice as fast
    next += (step > 0 ? u64.MAX_VALUE - y : y) / speed + 1;
    if (next > <u64>count) return;
    passCorner(sums, k + <i32>next - 1, x + (next - 1) * <u64>step, 0, 1, f, 0, 0, way);
  }
}
