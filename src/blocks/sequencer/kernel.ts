/**
 * Step sequencer. Before the first clock and after a reset it stands ahead of step 1 with all outputs at 0 V. Gates inside a step
 * are placed by the interval between the last two clocks; until that is known a gate lasts as long as the clock is high.
 */
import { hold, isHeld, isPatched, rail, read, vary, write } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate, putVolts } from '../../dsp/pulse';
import { isSettled, rampAt, rampPass, rampTo } from '../../dsp/ramp';
import { drawUnit, streamOf } from '../../dsp/random';
import { frameOf, sooner, triggerFrames } from '../../dsp/time';
import { SEQUENCER_CLOCK, SEQUENCER_DIRECTION, SEQUENCER_RESET, SequencerPorts } from '../layouts.gen';

/** A gate that falls with the clock, and one that is tied to the next step. */
const WITH_CLOCK: i64 = i64.MAX_VALUE;
const TIED: i64 = i64.MAX_VALUE - 1;

// 0 is forward
const REVERSE: i32 = 1;
const PENDULUM: i32 = 2;

@unmanaged
export class Sequencer extends SequencerPorts {
  trigger: i64;
  chances: u64;
  leaps: u64;

  clockHigh: i32;
  resetHigh: i32;
  directionHigh: i32;
  /** Present step, counted from 0; -1 ahead of step 1. */
  index: i32;
  /** On its way back (pendulum). */
  back: i32;
  /** Steps since the row began (random direction). */
  played: i32;
  /** Steps since the start, the number of the next draw. */
  draws: i64;
  /** Absolute frame of the next frame to come. */
  now: i64;
  /** Absolute frame of the last clock edge, -1 before the first, and frames between the last two (0 = not known). */
  edge: i64;
  interval: i64;
  /** Absolute frames at which gate, trigger and stepEnd fall; low where that is past. */
  gateFall: i64;
  triggerFall: i64;
  endFall: i64;
  /** Repeats of the present step, and how many have begun. */
  repeats: i32;
  begun: i32;
  extra: f32;
  pad0: i32;
  // the pitch on its way (dsp/ramp)
  pitchStart: f64;
  pitchTarget: f64;
  pitchDone: f64;
  pitchLength: f64;
}

export function init(block: Sequencer): void {
  block.trigger = <i64>triggerFrames(block.sampleRate);
  block.chances = streamOf(block.seed, 0);
  block.leaps = streamOf(block.seed, 1);
  block.index = -1;
  block.edge = -1;
}

export function update(block: Sequencer): void {}

// @ts-ignore: decorator
@inline
function pitchRamp(block: Sequencer): usize {
  return changetype<usize>(block) + offsetof<Sequencer>('pitchStart');
}

function reset(block: Sequencer): void {
  block.index = -1;
  block.back = 0;
  block.played = 0;
  block.gateFall = 0;
  block.triggerFall = 0;
  block.endFall = 0;
  block.repeats = 0;
  block.begun = 0;
  block.extra = 0;
  rampTo(pitchRamp(block), 0, 0);
}

/** Goes to the next step; answers whether that ends the row. */
function advance(block: Sequencer): bool {
  const length = <i32>block.settingLength;
  const last = length - 1;
  const direction = <i32>block.settingDirection;
  const index = block.index;
  if (index < 0) {
    block.index = 0;
    block.played = 1;
    return false;
  }
  if (direction > PENDULUM) {
    block.index = min<i32>(<i32>(drawUnit(block.leaps, block.draws) * <f64>length), last);
    const ends = block.played >= length;
    block.played = ends ? 1 : block.played + 1;
    return ends;
  }
  const reversed = block.directionHigh != 0;
  if (direction < PENDULUM) {
    if ((direction == REVERSE) != reversed) {
      block.index = index == 0 ? last : min<i32>(index - 1, last);
      return index == 0;
    }
    block.index = index >= last ? 0 : index + 1;
    return index >= last;
  }
  if (last == 0) {
    block.index = 0;
    return true;
  }
  let down = (block.back != 0) != reversed;
  if (down ? index == 0 : index >= last) {
    block.back ^= 1;
    down = !down;
  }
  block.index = down ? min<i32>(index, length) - 1 : index + 1;
  return block.index == 0;
}

/** Exact place of a repeat, or of a share into it, from the step's clock. */
// @ts-ignore: decorator
@inline
function within(block: Sequencer, place: f64): i64 {
  return block.edge + frameOf((place * <f64>block.interval) / <f64>block.repeats);
}

/** Begins repeat `begun` of the present step. */
function strike(block: Sequencer, continued: bool): void {
  const k = block.begun;
  block.begun = k + 1;
  if (!continued) block.triggerFall = block.now + block.trigger;
  if (k + 1 == block.repeats && block.stepsTie(block.index) != 0) block.gateFall = TIED;
  else if (block.interval == 0) block.gateFall = WITH_CLOCK;
  else block.gateFall = max<i64>(within(block, <f64>k + block.settingGateLength), block.now + 1);
}

function clockRises(block: Sequencer): void {
  if (block.edge >= 0) block.interval = block.now - block.edge;
  block.edge = block.now;
  const first = block.index < 0;
  if (advance(block)) block.endFall = block.now + block.trigger;
  const index = block.index;
  rampTo(pitchRamp(block), block.stepsPitch(index), first ? 0 : block.settingGlide * block.sampleRate);
  block.extra = <f32>block.stepsExtra(index);
  // drawn on every step, so that the chance of one step does not change the luck of another
  const plays = drawUnit(block.chances, block.draws) < block.stepsChance(index) && block.stepsGate(index) != 0;
  block.draws += 1;
  const continued = block.gateFall == TIED;
  block.begun = 0;
  if (plays) {
    block.repeats = block.interval > 0 ? <i32>block.stepsRepeats(index) : 1;
    strike(block, continued);
  } else {
    block.repeats = 0;
    block.gateFall = 0;
  }
}

/** [audio thread] */
export function process(block: Sequencer, from: i32, to: i32): void {
  const clocked = isPatched(block, SEQUENCER_CLOCK);
  const resettable = isPatched(block, SEQUENCER_RESET);
  const turnable = isPatched(block, SEQUENCER_DIRECTION);
  if (!clocked && block.clockHigh) {
    block.clockHigh = 0;
    if (block.gateFall == WITH_CLOCK) block.gateFall = block.now;
  }
  if (!resettable) block.resetHigh = 0;
  if (!turnable) block.directionHigh = 0;
  let clockAt = clocked ? nextChange(block.inputClock, from, to, block.clockHigh) : to;
  let resetAt = resettable ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  let turnAt = turnable ? nextChange(block.inputDirection, from, to, block.directionHigh) : to;
  let i = from;
  while (i < to) {
    if (turnAt == i) {
      block.directionHigh ^= 1;
      turnAt = nextChange(block.inputDirection, i + 1, to, block.directionHigh);
    }
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) reset(block);
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    if (clockAt == i) {
      block.clockHigh ^= 1;
      if (block.clockHigh) clockRises(block);
      else if (block.gateFall == WITH_CLOCK) block.gateFall = block.now;
      clockAt = nextChange(block.inputClock, i + 1, to, block.clockHigh);
    }
    let n = min<i32>(min<i32>(clockAt, resetAt), turnAt);
    const now = block.now;
    if (block.begun < block.repeats) {
      const due = within(block, <f64>block.begun);
      if (due <= now) strike(block, false);
    }
    if (block.begun < block.repeats) n = sooner(n, within(block, <f64>block.begun), now, i);
    if (block.gateFall > now) n = sooner(n, block.gateFall, now, i);
    if (block.triggerFall > now) n = sooner(n, block.triggerFall, now, i);
    if (block.endFall > now) n = sooner(n, block.endFall, now, i);
    putGate(block.outputGate, i, n, block.gateFall > now);
    putGate(block.outputTrigger, i, n, block.triggerFall > now);
    putGate(block.outputStepEnd, i, n, block.endFall > now);
    putVolts(block.outputExtra, i, n, block.extra);
    if (block.outputPitch != 0) pitch(block, i, n);
    rampPass(pitchRamp(block), n - i);
    block.now += n - i;
    i = n;
  }
}

/** Step's pitch on its glide, plus transpose; 0 V ahead of step 1. */
function pitch(block: Sequencer, from: i32, to: i32): void {
  const out = block.outputPitch;
  const ramp = pitchRamp(block);
  if (block.index < 0) {
    hold(out, from, to, 0);
  } else if (isSettled(ramp) && isHeld(block.inputTranspose, to)) {
    hold(out, from, to, rail(<f32>(rampAt(ramp, 0) + <f64>read(block.inputTranspose, from))));
  } else {
    vary(out, from);
    for (let i = from; i < to; i++) {
      write(out, i, rail(<f32>(rampAt(ramp, <f64>(i - from)) + <f64>read(block.inputTranspose, i))));
    }
  }
}
