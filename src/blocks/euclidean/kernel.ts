/**
 * Euclidean rhythm: hits spread over steps as evenly as possible by the algorithm of Bjorklund (2003) as Toussaint gives it ("The
 * Euclidean algorithm generates traditional musical rhythms", 2005). Before the first clock and after a reset it stands ahead of
 * step 1 with all outputs low.
 */
import { isPatched, read } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate } from '../../dsp/pulse';
import { stepAfter } from '../../dsp/stepped';
import { frameOf, sooner, triggerFrames } from '../../dsp/time';
import { EUCLIDEAN_CLOCK, EUCLIDEAN_RESET, EuclideanPorts } from '../layouts.gen';

/** A gate that falls with the clock. */
const WITH_CLOCK: i64 = i64.MAX_VALUE;
/** A control voltage that adds as many hits as there are steps. */
const OPEN: f64 = 8;

@unmanaged
export class Euclidean extends EuclideanPorts {
  trigger: i64;

  clockHigh: i32;
  resetHigh: i32;
  /** Present step, counted from 0; -1 ahead of step 1. */
  step: i32;
  pad0: i32;
  /** Absolute frame of the next frame to come. */
  now: i64;
  /** Absolute frame of the last clock edge, -1 before the first, and frames between the last two (0 = not known). */
  edge: i64;
  interval: i64;
  /** Absolute frames at which the outputs fall; low where that is past. */
  gateFall: i64;
  triggerFall: i64;
  restFall: i64;
}

export function init(block: Euclidean): void {
  block.trigger = <i64>triggerFrames(block.sampleRate);
  block.step = -1;
  block.edge = -1;
}

export function update(block: Euclidean): void {}

/**
 * The even spread of `hits` (0..steps) over `steps` (1..32), bit k for step k. It begins with one group per hit and one per rest;
 * each round appends the groups of the smaller kind to as many of the other, until at most one group is left over. Groups of one
 * kind are all alike, so that a kind is a row of bits and a count.
 */
function spread(hits: i32, steps: i32): u32 {
  if (hits <= 0) return 0;
  let head: u32 = 1;
  let headLength: u32 = 1;
  let heads = hits;
  let tail: u32 = 0;
  let tailLength: u32 = 1;
  let tails = steps - hits;
  for (let left = 0; tails > left; left = 1) {
    const joined = head | (tail << headLength);
    const joinedLength = headLength + tailLength;
    const pairs = min<i32>(heads, tails);
    if (heads > tails) {
      tail = head;
      tailLength = headLength;
    }
    tails = abs<i32>(heads - tails);
    head = joined;
    headLength = joinedLength;
    heads = pairs;
  }
  let pattern: u32 = 0;
  let at: u32 = 0;
  for (let k = 0; k < heads; k++, at += headLength) pattern |= head << at;
  for (let k = 0; k < tails; k++, at += tailLength) pattern |= tail << at;
  return pattern;
}

function isHit(block: Euclidean, frame: i32): bool {
  const steps = <i32>block.settingSteps;
  const more = floor<f64>((<f64>read(block.inputHitsCv, frame) * <f64>steps) / OPEN + 0.5);
  const hits = min<i32>(max<i32>(<i32>(block.settingHits + more), 0), steps);
  const place = (block.step + steps - (<i32>block.settingRotate % steps)) % steps;
  return ((spread(hits, steps) >> <u32>place) & 1) != 0;
}

function clockRises(block: Euclidean, frame: i32): void {
  const now = block.now;
  if (block.edge >= 0) block.interval = now - block.edge;
  block.edge = now;
  block.step = stepAfter(block.step, <i32>block.settingSteps);
  if (isHit(block, frame)) {
    block.triggerFall = now + block.trigger;
    block.gateFall = block.interval > 0 ? now + max<i64>(frameOf(0.5 * <f64>block.interval), 1) : WITH_CLOCK;
  } else {
    block.restFall = now + block.trigger;
    block.gateFall = 0;
  }
}

function clockFalls(block: Euclidean): void {
  if (block.gateFall == WITH_CLOCK) block.gateFall = block.now;
}

function reset(block: Euclidean): void {
  block.step = -1;
  block.gateFall = 0;
  block.triggerFall = 0;
  block.restFall = 0;
}

/** [audio thread] */
export function process(block: Euclidean, from: i32, to: i32): void {
  const clocked = isPatched(block, EUCLIDEAN_CLOCK);
  const resettable = isPatched(block, EUCLIDEAN_RESET);
  if (!clocked && block.clockHigh) {
    block.clockHigh = 0;
    clockFalls(block);
  }
  if (!resettable) block.resetHigh = 0;
  let clockAt = clocked ? nextChange(block.inputClock, from, to, block.clockHigh) : to;
  let resetAt = resettable ? nextChange(block.inputReset, from, to, block.resetHigh) : to;
  let i = from;
  while (i < to) {
    if (resetAt == i) {
      block.resetHigh ^= 1;
      if (block.resetHigh) reset(block);
      resetAt = nextChange(block.inputReset, i + 1, to, block.resetHigh);
    }
    if (clockAt == i) {
      block.clockHigh ^= 1;
      if (block.clockHigh) clockRises(block, i);
      else clockFalls(block);
      clockAt = nextChange(block.inputClock, i + 1, to, block.clockHigh);
    }
    const now = block.now;
    let n = min<i32>(clockAt, resetAt);
    if (block.gateFall > now) n = sooner(n, block.gateFall, now, i);
    if (block.triggerFall > now) n = sooner(n, block.triggerFall, now, i);
    if (block.restFall > now) n = sooner(n, block.restFall, now, i);
    putGate(block.outputTrigger, i, n, block.triggerFall > now);
    putGate(block.outputGate, i, n, block.gateFall > now);
    putGate(block.outputRests, i, n, block.restFall > now);
    block.now += n - i;
    i = n;
  }
}
