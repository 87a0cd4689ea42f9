/**
 * Clock. Place is counted in ticks, 24 to the quarter note, from an anchor that moves only when the tempo does. The pulse at
 * tick u falls on frame anchor + round((u - place of the anchor) x frames per tick): nothing is accumulated at a constant tempo.
 */
import { isHeld, isPatched, read } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { exp2 } from '../../dsp/exp2';
import { putGate } from '../../dsp/pulse';
import { frameOf, sooner, triggerFrames } from '../../dsp/time';
import { CLOCK_RESET, CLOCK_RUN, ClockPorts } from '../layouts.gen';

/** Fewest frames between pulses of the fastest output, so that one low frame fits between; the tempo stops rising there. */
const FASTEST: f64 = 2;

/** Pulse k of an output stands at tick `interval` x k; which output is which follows from the interval. */
const BEAT: f64 = 24;
const EIGHTH: f64 = 12;
const SIXTEENTH: f64 = 6;
const TICK: f64 = 1;

@unmanaged
export class Clock extends ClockPorts {
  /** Frames per tick with 0 V at tempoCv. */
  base: f64;
  trigger: i32;

  runHigh: i32;
  resetHigh: i32;
  running: i32;
  /** A reset (or the start) still has to pulse. */
  pending: i32;
  /** Absolute frame of the next frame to come. */
  now: i64;
  anchorFrame: i64;
  anchorTick: f64;
  framesPerTick: f64;
  /** Absolute frame at which resetOut falls. */
  resetFall: i64;

  // of each output: its next pulse, whether it is high, the frame it last rose on, and the first frame it may rise on
  beat: f64;
  beatRose: i64;
  beatFree: i64;
  eighth: f64;
  eighthRose: i64;
  eighthFree: i64;
  sixteenth: f64;
  sixteenthRose: i64;
  sixteenthFree: i64;
  tick: f64;
  tickRose: i64;
  tickFree: i64;
  beatHigh: i32;
  eighthHigh: i32;
  sixteenthHigh: i32;
  tickHigh: i32;
}

export function init(block: Clock): void {
  block.pending = 1;
  block.trigger = triggerFrames(block.sampleRate);
}

/** [audio thread] */
export function update(block: Clock): void {
  block.base = (2.5 * block.sampleRate) / block.settingBpm;
}

/** Tick of an output's k-th pulse; swing moves every second sixteenth to its share of the eighth. */
// @ts-ignore: decorator
@inline
function tickOf(block: Clock, interval: f64, k: f64): f64 {
  if (interval == SIXTEENTH && k - 2 * floor<f64>(k * 0.5) == 1) return (k - 1) * SIXTEENTH + block.settingSwing * EIGHTH;
  return k * interval;
}

/** Absolute frame of a tick at the present tempo. */
// @ts-ignore: decorator
@inline
function frameAt(block: Clock, tick: f64): i64 {
  return block.anchorFrame + frameOf((tick - block.anchorTick) * block.framesPerTick);
}

/** Absolute frame at which an output changes next, if the tempo stays. */
// @ts-ignore: decorator
@inline
function changeAt(block: Clock, interval: f64, next: f64, high: i32, rose: i64, free: i64): i64 {
  const rise = frameAt(block, tickOf(block, interval, next));
  if (!high) return max<i64>(rise, free);
  const fall = frameAt(block, tickOf(block, interval, next - 1) + block.settingWidth * interval);
  return max<i64>(rose + 1, min<i64>(fall, rise - 1));
}

/** Puts the place at a frame, with a new tempo. */
function anchor(block: Clock, frame: i64, framesPerTick: f64): void {
  if (block.framesPerTick > 0) block.anchorTick += <f64>(frame - block.anchorFrame) / block.framesPerTick;
  block.anchorFrame = frame;
  block.framesPerTick = framesPerTick;
}

function fallAll(block: Clock, frame: i64): void {
  block.beatHigh = 0;
  block.eighthHigh = 0;
  block.sixteenthHigh = 0;
  block.tickHigh = 0;
  block.resetFall = frame;
}

/** All pulses at once at place 0. An output that is high rises one frame later, so that the pulse can be seen. */
function pulseAll(block: Clock, frame: i64): void {
  block.pending = 0;
  block.anchorTick = 0;
  block.anchorFrame = frame;
  block.beatFree = frame + block.beatHigh;
  block.eighthFree = frame + block.eighthHigh;
  block.sixteenthFree = frame + block.sixteenthHigh;
  block.tickFree = frame + block.tickHigh;
  block.beat = 0;
  block.eighth = 0;
  block.sixteenth = 0;
  block.tick = 0;
  fallAll(block, frame + block.trigger);
}

/** Falls, then rises, that are due at a frame. */
function pulses(block: Clock, frame: i64): void {
  if (changeAt(block, BEAT, block.beat, block.beatHigh, block.beatRose, block.beatFree) <= frame) {
    block.beatHigh ^= 1;
    if (block.beatHigh) {
      block.beat += 1;
      block.beatRose = frame;
    }
  }
  if (changeAt(block, EIGHTH, block.eighth, block.eighthHigh, block.eighthRose, block.eighthFree) <= frame) {
    block.eighthHigh ^= 1;
    if (block.eighthHigh) {
      block.eighth += 1;
      block.eighthRose = frame;
    }
  }
  if (changeAt(block, SIXTEENTH, block.sixteenth, block.sixteenthHigh, block.sixteenthRose, block.sixteenthFree) <= frame) {
    block.sixteenthHigh ^= 1;
    if (block.sixteenthHigh) {
      block.sixteenth += 1;
      block.sixteenthRose = frame;
    }
  }
  if (changeAt(block, TICK, block.tick, block.tickHigh, block.tickRose, block.tickFree) <= frame) {
    block.tickHigh ^= 1;
    if (block.tickHigh) {
      block.tick += 1;
      block.tickRose = frame;
    }
  }
}

/** Absolute frame of the next change of any output, if the tempo stays. */
function nextPulse(block: Clock): i64 {
  const beat = changeAt(block, BEAT, block.beat, block.beatHigh, block.beatRose, block.beatFree);
  const eighth = changeAt(block, EIGHTH, block.eighth, block.eighthHigh, block.eighthRose, block.eighthFree);
  const sixteenth = changeAt(block, SIXTEENTH, block.sixteenth, block.sixteenthHigh, block.sixteenthRose, block.sixteenthFree);
  const tick = changeAt(block, TICK, block.tick, block.tickHigh, block.tickRose, block.tickFree);
  return min<i64>(min<i64>(beat, eighth), min<i64>(sixteenth, tick));
}

/** [audio thread] */
export function process(block: Clock, from: i32, to: i32): void {
  const stoppable = isPatched(block, CLOCK_RUN);
  const resettable = isPatched(block, CLOCK_RESET);
  if (!stoppable) block.runHigh = 0;
  if (!resettable) block.resetHigh = 0;
  let runAt = stoppable ? nextChange(block.inputRun, from, to, block.runHigh) : to;
  let resetAt = resettable ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  let i = from;
  while (i < to) {
    const frame = block.now;
    if (runAt == i) {
      block.runHigh ^= 1;
      runAt = nextChange(block.inputRun, i + 1, to, block.runHigh);
    }
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) block.pending = 1;
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    const running = !stoppable || block.runHigh != 0;
    if (!running && block.running) {
      anchor(block, frame, block.framesPerTick); // keeps the place
      fallAll(block, frame);
    } else if (running && !block.running) block.anchorFrame = frame;
    block.running = running ? 1 : 0;
    let n = min<i32>(runAt, resetAt);
    if (running) {
      if (!isHeld(block.inputTempoCv, n)) n = i + 1;
      const volts = <f64>read(block.inputTempoCv, i);
      const framesPerTick = max<f64>(block.base * exp2(-block.settingTempoAmount * volts), FASTEST);
      if (framesPerTick != block.framesPerTick) anchor(block, frame, framesPerTick);
      if (block.pending) pulseAll(block, frame);
      pulses(block, frame);
      n = sooner(n, nextPulse(block), frame, i);
      if (block.resetFall > frame) n = sooner(n, block.resetFall, frame, i);
    }
    putGate(block.outputBeat, i, n, block.beatHigh != 0);
    putGate(block.outputEighth, i, n, block.eighthHigh != 0);
    putGate(block.outputSixteenth, i, n, block.sixteenthHigh != 0);
    putGate(block.outputPpqn24, i, n, block.tickHigh != 0);
    putGate(block.outputResetOut, i, n, block.resetFall > frame);
    block.now += n - i;
    i = n;
  }
}
