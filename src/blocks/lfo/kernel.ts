/**
 * Slow modulator, not band-limited. Its phase is counted from an anchor, phase = anchor + frames x increment, and the anchor
 * moves only when the rate changes: at a constant rate nothing is accumulated, so an hour later every edge still falls on the
 * frame nearest to its exact time. While the rate moves, the anchor moves with it frame by frame.
 */
import { hold, isHeld, isPatched, read, vary } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { exp2Four, readFour } from '../../dsp/four';
import { sinePair } from '../../dsp/sine';
import { LFO_CLOCK, LFO_RESET, LfoPorts } from '../layouts.gen';

/** A phase this close to a whole cycle counts as one, so that rounding never delays a jump by a frame. */
const NEAR: f64 = 1e-9;

/** Phase (0..1) and increment (cycles per frame) of each frame of the chunk, shared by all slow modulators. */
const PHASES = memory.data(132 * 8, 16);
const STEPS = memory.data(132 * 8, 16);

@unmanaged
export class Lfo extends LfoPorts {
  /** Cycles per frame with 0 V at rate. */
  base: f64;
  /** The triangle is the lower of two lines over q = phase + skew / 2: up + upSlope q and down + downSlope q. */
  halfSkew: f64;
  up: f64;
  upSlope: f64;
  down: f64;
  downSlope: f64;
  /** Volts = middle + swing x (-1..1). */
  middle: f64;
  swing: f64;

  anchor: f64;
  /** Frames since the anchor. */
  count: f64;
  /** Cycles per frame since the anchor. */
  step: f64;
  started: i32;
  resetHigh: i32;
  clockHigh: i32;
  /** Clock edges since the start or the last reset. */
  beats: f64;
  /** Frames since the last clock edge; -1 before the first. */
  since: i64;
  /** Frames between the last two clock edges; 0 until there were two. */
  interval: i64;
}

export function init(block: Lfo): void {
  block.since = -1;
}

/** [audio thread] */
export function update(block: Lfo): void {
  block.base = block.settingRate / block.sampleRate;
  const unipolar = block.settingRange != 0;
  const middle: f64 = unipolar ? 4 : 0;
  const swing: f64 = unipolar ? 4 : 5;
  block.middle = middle;
  block.swing = swing;
  const skew = block.settingSkew;
  block.halfSkew = skew * 0.5;
  // a side that takes no time lies out of the way, above everything
  block.up = skew > 0 ? middle - swing : 1e3;
  block.upSlope = skew > 0 ? (2 * swing) / skew : 0;
  block.down = skew < 1 ? middle + swing + (2 * swing * skew) / (1 - skew) : 1e3;
  block.downSlope = skew < 1 ? (-2 * swing) / (1 - skew) : 0;
}

/** Phase within its cycle. */
// @ts-ignore: decorator
@inline
function wrapped(x: f64): f64 {
  return max<f64>(x - floor<f64>(x + NEAR), 0);
}

/** Puts the phase somewhere, as an edge does. */
function jump(block: Lfo, phase: f64): void {
  block.anchor = wrapped(phase);
  block.count = 0;
}

/** [audio thread] */
export function process(block: Lfo, from: i32, to: i32): void {
  if (!block.started) {
    block.started = 1;
    jump(block, block.settingPhase);
  }
  if (!isPatched(block, LFO_RESET)) block.resetHigh = 0;
  let resetAt = isPatched(block, LFO_RESET) ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  const locked = isPatched(block, LFO_CLOCK);
  if (!locked) {
    block.clockHigh = 0;
    block.since = -1;
    block.interval = 0;
    block.beats = 0;
  }
  let clockAt = locked ? nextChange(block.inputClock, from, to, block.clockHigh) : to;
  let even = true; // one rate all through
  let i = from;
  while (i < to) {
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) {
        jump(block, block.settingPhase);
        block.beats = 0;
      }
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    if (clockAt == i) {
      block.clockHigh ^= 1;
      if (block.clockHigh) clockEdge(block);
      clockAt = nextChange(block.inputClock, i + 1, to, block.clockHigh);
    }
    const n = min<i32>(resetAt, clockAt);
    if (i != from || n != to) even = false;
    if (locked) {
      steady(block, block.interval > 0 ? block.settingPerClock / <f64>block.interval : 0, i, n, even);
      if (block.since >= 0) block.since += n - i;
    } else if (isHeld(block.inputRate, n)) {
      steady(block, heldStep(block, i), i, n, even);
    } else {
      even = false;
      moving(block, i, n);
    }
    i = n;
  }
  shapes(block, from, to, even);
}

/** At the m-th clock (from 0) the phase is exactly `phase` + m x perClock: whole cycles per clock begin anew on each edge. */
function clockEdge(block: Lfo): void {
  if (block.since >= 0) block.interval = block.since;
  block.since = 0;
  jump(block, block.settingPhase + block.beats * block.settingPerClock);
  block.beats += 1;
}

/** The increment while the rate input stands still: the same bits as under `moving`. */
function heldStep(block: Lfo, i: i32): f64 {
  return block.base * <f64>f32x4.extract_lane(powers(block, f32x4.splat(read(block.inputRate, i))), 0);
}

/** Phases at a constant rate. */
function steady(block: Lfo, step: f64, from: i32, to: i32, even: bool): void {
  if (step != block.step) {
    jump(block, block.anchor + block.count * block.step);
    block.step = step;
  }
  const anchors = f64x2.splat(block.anchor);
  const steps = f64x2.splat(step);
  const near = f64x2.splat(NEAR);
  const zero = f64x2.splat(0);
  const two = f64x2.splat(2);
  let counts = f64x2(block.count, block.count + 1);
  for (let i = from; i < to; i += 2) {
    const x = f64x2.add(anchors, f64x2.mul(counts, steps));
    const p = f64x2.pmax(f64x2.sub(x, f64x2.floor(f64x2.add(x, near))), zero);
    v128.store(PHASES + ((<usize>i) << 3), p);
    counts = f64x2.add(counts, two);
  }
  if (!even) for (let i = from; i < to; i += 2) v128.store(STEPS + ((<usize>i) << 3), steps);
  block.count += <f64>(to - from);
}

/** Increments of four frames: base x 2^(amount x volts), the power in f32 (0.0004 cent), whole octaves exact. */
// @ts-ignore: decorator
@inline
function powers(block: Lfo, volts: v128): v128 {
  return exp2Four(f32x4.mul(f32x4.splat(<f32>block.settingRateAmount), volts));
}

/** A phase that has grown by one step, within its cycle. */
// @ts-ignore: decorator
@inline
function phaseOn(x: f64): f64 {
  return x >= 1 - NEAR ? wrapped(x) : x;
}

/** Do the four steps at `at` each differ from the one before? */
// @ts-ignore: decorator
@inline
function eachDiffers(at: usize): bool {
  const first = f64x2.eq(v128.load(at), v128.load(at - 8));
  return !v128.any_true(v128.or(first, f64x2.eq(v128.load(at, 16), v128.load(at, 8))));
}

/** Phases while the rate input moves. */
function moving(block: Lfo, from: i32, to: i32): void {
  const rate = block.inputRate;
  const bases = f64x2.splat(block.base);
  for (let i = from; i < to; i += 4) {
    const four = powers(block, readFour(rate, i, to));
    const at = STEPS + ((<usize>i) << 3);
    v128.store(at, f64x2.mul(bases, f64x2.promote_low_f32x4(four)));
    v128.store(at, f64x2.mul(bases, f64x2.promote_low_f32x4(v128.shuffle<f32>(four, four, 2, 3, 2, 3))), 16);
  }
  let anchor = block.anchor;
  let count = block.count;
  let step = block.step;
  const end = STEPS + ((<usize>to) << 3);
  let at = STEPS + ((<usize>from) << 3);
  while (at < end) {
    let p = phaseOn(anchor + count * step);
    store<f64>(at + (PHASES - STEPS), p);
    let next = load<f64>(at);
    at += 8;
    if (next == step) {
      count += 1;
      continue;
    }
    // Mostly the rate goes on moving: four frames at a time, each of which the anchor moves to.
    while (at + 32 <= end && eachDiffers(at)) {
      const second = phaseOn(p + next);
      const third = phaseOn(second + load<f64>(at));
      const fourth = phaseOn(third + load<f64>(at, 8));
      p = phaseOn(fourth + load<f64>(at, 16));
      next = load<f64>(at, 24);
      const place = at + (PHASES - STEPS);
      store<f64>(place, second);
      store<f64>(place, third, 8);
      store<f64>(place, fourth, 16);
      store<f64>(place, p, 24);
      at += 32;
    }
    anchor = p;
    count = 1;
    step = next;
  }
  block.anchor = anchor;
  block.count = count;
  block.step = step;
}

function shapes(block: Lfo, from: i32, to: i32, even: bool): void {
  const still = even && block.step == 0;
  if (block.outputTriangle != 0) triangle(block, from, to, still);
  if (block.outputSquare != 0) square(block, from, to, even);
  if (block.outputRamp != 0) ramp(block, from, to, still);
  if (block.outputSine != 0) sineShape(block, from, to, still);
}

/** Stores two frames, the second only where it is inside the range. */
// @ts-ignore: decorator
@inline
function put(out: usize, i: i32, to: i32, pair: v128): void {
  const volts = f32x4.demote_f64x2_zero(pair);
  if (i + 2 <= to) v128.store64_lane(out + ((<usize>i) << 2), volts, 0);
  else store<f32>(out + ((<usize>i) << 2), f32x4.extract_lane(volts, 0));
}

/** Stands still for the whole range: the first frame stands for all. */
function rest(out: usize, from: i32, to: i32): void {
  hold(out, from, to, load<f32>(out + ((<usize>from) << 2)));
}

function triangle(block: Lfo, from: i32, to: i32, still: bool): void {
  const out = block.outputTriangle;
  const halfSkew = f64x2.splat(block.halfSkew);
  const up = f64x2.splat(block.up);
  const upSlope = f64x2.splat(block.upSlope);
  const down = f64x2.splat(block.down);
  const downSlope = f64x2.splat(block.downSlope);
  if (!still) vary(out, from);
  const end = still ? from + 1 : to;
  let i = from;
  for (; i + 4 <= end; i += 4) {
    const phases = PHASES + ((<usize>i) << 3);
    const x1 = f64x2.add(v128.load(phases), halfSkew);
    const x2 = f64x2.add(v128.load(phases, 16), halfSkew);
    const q1 = f64x2.sub(x1, f64x2.floor(x1));
    const q2 = f64x2.sub(x2, f64x2.floor(x2));
    const v1 = f64x2.pmin(f64x2.add(up, f64x2.mul(upSlope, q1)), f64x2.add(down, f64x2.mul(downSlope, q1)));
    const v2 = f64x2.pmin(f64x2.add(up, f64x2.mul(upSlope, q2)), f64x2.add(down, f64x2.mul(downSlope, q2)));
    v128.store(out + ((<usize>i) << 2), i64x2.shuffle(f32x4.demote_f64x2_zero(v1), f32x4.demote_f64x2_zero(v2), 0, 2));
  }
  for (; i < end; i += 2) {
    const x = f64x2.add(v128.load(PHASES + ((<usize>i) << 3)), halfSkew);
    const q = f64x2.sub(x, f64x2.floor(x));
    put(out, i, end, f64x2.pmin(f64x2.add(up, f64x2.mul(upSlope, q)), f64x2.add(down, f64x2.mul(downSlope, q))));
  }
  if (still) rest(out, from, to);
}

function ramp(block: Lfo, from: i32, to: i32, still: bool): void {
  const out = block.outputRamp;
  const low = f64x2.splat(block.middle - block.swing);
  const slope = f64x2.splat(2 * block.swing);
  if (!still) vary(out, from);
  const end = still ? from + 1 : to;
  for (let i = from; i < end; i += 2) {
    put(out, i, end, f64x2.add(low, f64x2.mul(slope, v128.load(PHASES + ((<usize>i) << 3)))));
  }
  if (still) rest(out, from, to);
}

function sineShape(block: Lfo, from: i32, to: i32, still: bool): void {
  const out = block.outputSine;
  const middle = f64x2.splat(block.middle);
  const swing = f64x2.splat(block.swing);
  if (!still) vary(out, from);
  const end = still ? from + 1 : to;
  for (let i = from; i < end; i += 2) {
    put(out, i, end, f64x2.add(middle, f64x2.mul(swing, sinePair(v128.load(PHASES + ((<usize>i) << 3))))));
  }
  if (still) rest(out, from, to);
}

/** Half a frame ahead of the phase, so that each edge falls on the frame nearest to its exact time. */
// @ts-ignore: decorator
@inline
function isFirstHalf(i: i32, step: f64): bool {
  const x = load<f64>(PHASES + ((<usize>i) << 3)) + 0.5 * step;
  return x - floor<f64>(x) < 0.5;
}

function square(block: Lfo, from: i32, to: i32, even: bool): void {
  const out = block.outputSquare;
  const high = <f32>(block.middle + block.swing);
  const low = <f32>(block.middle - block.swing);
  if (even) {
    const step = block.step;
    const first = isFirstHalf(from, step);
    if (step * <f64>(to - from) < 0.5 && first == isFirstHalf(to - 1, step)) {
      hold(out, from, to, first ? high : low);
      return;
    }
    for (let i = from; i < to; i += 2) v128.store(STEPS + ((<usize>i) << 3), f64x2.splat(step));
  }
  vary(out, from);
  const highs = f32x4.splat(high);
  const lows = f32x4.splat(low);
  const half = f64x2.splat(0.5);
  for (let i = from; i < to; i += 2) {
    const x = f64x2.add(v128.load(PHASES + ((<usize>i) << 3)), f64x2.mul(half, v128.load(STEPS + ((<usize>i) << 3))));
    const first = f64x2.lt(f64x2.sub(x, f64x2.floor(x)), half);
    const mask = i8x16.shuffle(first, first, 0, 1, 2, 3, 8, 9, 10, 11, 0, 1, 2, 3, 8, 9, 10, 11);
    const volts = v128.bitselect(highs, lows, mask);
    if (i + 2 <= to) v128.store64_lane(out + ((<usize>i) << 2), volts, 0);
    else store<f32>(out + ((<usize>i) << 2), f32x4.extract_lane(volts, 0));
  }
}
