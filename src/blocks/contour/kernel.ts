/**
 * Envelope. A segment (attack, decay, release) runs its shape s from 0 to 1 over `total` frames and ends on the frame nearest
 * to its exact end, with exactly the value it goes to. The fraction of a frame that this rounding takes or gives is carried
 * into the next segment, so that a loop never drifts.
 *
 * Times follow their settings and control voltages all the while: a new time stretches what is left of the segment.
 * The curve is taken when a segment begins, so that the contour never jumps.
 */
import { hold, isHeld, isPatched, read, sloped, vary } from '../../dsp/block';
import { bendOf, enter, keepOf, stepOf } from '../../dsp/curve';
import { nextChange } from '../../dsp/edge';
import { exp2 } from '../../dsp/exp2';
import { putGate } from '../../dsp/pulse';
import { frameOf, triggerFrames } from '../../dsp/time';
import { CONTOUR_GATE, CONTOUR_RETRIGGER, ContourPorts } from '../layouts.gen';

const PEAK: f64 = 8;
const SHORTEST: f64 = 0.0003;
const LONGEST: f64 = 20;

const AD: f64 = 0;
const ASR: f64 = 1;

const LOOP_OFF: f64 = 0;
const LOOP_ON: f64 = 1;

const REST: i32 = 0;
const ATTACK: i32 = 1;
const DECAY: i32 = 2;
const SUSTAIN: i32 = 3;
const RELEASE: i32 = 4;

/** The contour where nobody reads it, for the inverted copy. */
const UNREAD = memory.data(128 * 4, 16);

@unmanaged
export class Contour extends ContourPorts {
  trigger: i32;

  stage: i32;
  gateHigh: i32;
  retriggerHigh: i32;
  attackEnd: i32;
  /** Frames of the cycleEnd trigger still to come. */
  cycleEnd: i32;
  /** The decay goes to the sustain level, not to 0. */
  sustained: i32;
  /** Fell to 0 while the gate is still high: the cycle is over. */
  over: i32;
  /** Frames to the end of the segment. */
  left: i64;
  /** The segment's shape at the present frame, 0..1, and at the three after it. */
  s: f64;
  s1: f64;
  s2: f64;
  s3: f64;
  /** s four frames on = keep s + step. */
  keep: f64;
  step: f64;
  k: f64;
  /** Where a release began, in volts. */
  start: f64;
  /** Share of the segment's time at the last change of time, and frames since. */
  share: f64;
  count: f64;
  /** Frames of the whole segment at its present time. */
  total: f64;
  /** Exact time minus frame: of the segment's beginning, and of its end. */
  late: f64;
  lateEnd: f64;
}

export function init(block: Contour): void {
  block.trigger = triggerFrames(block.sampleRate);
}

export function update(block: Contour): void {}

/** Volts at frame i, the present one. */
function level(block: Contour, i: i32): f64 {
  const stage = block.stage;
  if (stage == ATTACK) return PEAK * block.s;
  if (stage == DECAY) return PEAK + (floorOf(block, i) - PEAK) * block.s;
  if (stage == SUSTAIN) return block.sustained ? floorOf(block, i) : PEAK;
  if (stage == RELEASE) return block.start - block.start * block.s;
  return 0;
}

/** Where the decay goes, in volts; it follows the sustain level as that glides. */
// @ts-ignore: decorator
@inline
function floorOf(block: Contour, i: i32): f64 {
  return block.sustained ? PEAK * sloped(block, block.settingSustain, block.slopeSustain, i) : 0;
}

/** The control input of the present segment's time. */
function timeInput(block: Contour): usize {
  const stage = block.stage;
  return stage == ATTACK ? block.inputAttackCv : stage == DECAY ? block.inputDecayCv : block.inputReleaseCv;
}

/** Frames of the present segment with these volts at its control input: time x 2^(2 x amount x V) within 0.3 ms..20 s. */
function totalAt(block: Contour, volts: f32): f64 {
  const stage = block.stage;
  const time = stage == ATTACK ? block.settingAttack : stage == DECAY ? block.settingDecay : block.settingRelease;
  const amount = stage == ATTACK ? block.settingAttackAmount : stage == DECAY ? block.settingDecayAmount : block.settingReleaseAmount;
  if (volts == 0 || amount == 0) return time * block.sampleRate;
  return min<f64>(max<f64>(time * exp2(2 * amount * <f64>volts), SHORTEST), LONGEST) * block.sampleRate;
}

/** From frame to frame s goes to keep s + step. */
function lookAhead(block: Contour, keep: f64, step: f64): void {
  block.s1 = keep * block.s + step;
  block.s2 = keep * block.s1 + step;
  block.s3 = keep * block.s2 + step;
  const keep2 = keep * keep;
  block.keep = keep2 * keep2;
  block.step = step * ((1 + keep) * (1 + keep2));
}

/** The next frame's shapes. */
// @ts-ignore: decorator
@inline
function moveOn(block: Contour): void {
  const next = block.keep * block.s + block.step;
  block.s = block.s1;
  block.s1 = block.s2;
  block.s2 = block.s3;
  block.s3 = next;
}

/** Takes on the segment's time as it is at frame i. */
function timed(block: Contour, i: i32): void {
  const total = totalAt(block, read(timeInput(block), i));
  if (total == block.total) return;
  if (block.total > 0) block.share = min<f64>(block.share + block.count / block.total, 1);
  block.count = 0;
  block.total = total;
  lookAhead(block, keepOf(block.k, 1 / total), stepOf(block.k, 1 / total));
  const due = (1 - block.share) * total + block.late;
  block.left = max<i64>(frameOf(due), block.stage == ATTACK || block.s > 0 ? 0 : 1);
  block.lateEnd = due - <f64>block.left;
}

/** Begins a segment at frame i, at the share y of its way. */
function begin(block: Contour, stage: i32, i: i32, y: f64, late: f64): void {
  block.stage = stage;
  block.k = bendOf(stage == ATTACK ? -1.5 : -5, block.settingCurve);
  block.s = y;
  block.share = enter(block.k, y);
  block.total = 0;
  block.late = late;
  timed(block, i);
}

function attack(block: Contour, i: i32, late: f64): void {
  const from = level(block, i);
  block.attackEnd = 0;
  block.over = 0;
  begin(block, ATTACK, i, min<f64>(from / PEAK, 1), late);
}

function release(block: Contour, i: i32, late: f64): void {
  block.start = level(block, i);
  begin(block, RELEASE, i, 0, late);
}

/** It has come down to 0. */
function finish(block: Contour): void {
  block.stage = REST;
  block.attackEnd = 0;
  block.cycleEnd = block.trigger;
}

/** A segment has reached its end at frame i. */
function advance(block: Contour, i: i32): void {
  const late = block.lateEnd;
  const waits = block.gateHigh != 0 && block.settingLoop == LOOP_OFF;
  if (block.stage == ATTACK) {
    block.attackEnd = 1;
    block.sustained = block.settingShape > ASR ? 1 : 0;
    if (block.settingShape != ASR) {
      begin(block, DECAY, i, 0, late);
    } else {
      block.stage = SUSTAIN; // at the peak
      if (!waits) release(block, i, late);
    }
  } else if (block.stage == DECAY) {
    block.stage = SUSTAIN;
    const down = floorOf(block, i) == 0;
    if (down && !(waits && block.sustained)) finish(block);
    else if (!waits) release(block, i, late);
    else if (down) {
      block.over = 1;
      block.attackEnd = 0;
      block.cycleEnd = block.trigger;
    }
  } else finish(block);
  const again = block.settingLoop == LOOP_ON || (block.settingLoop != LOOP_OFF && block.gateHigh != 0);
  if (block.stage == REST && again) attack(block, i, late);
}

// @ts-ignore: decorator
@inline
function isMoving(block: Contour): bool {
  return block.stage != REST && block.stage != SUSTAIN;
}

// @ts-ignore: decorator
@inline
function settle(block: Contour, i: i32): void {
  while (isMoving(block) && block.left <= 0) advance(block, i);
}

/** What the gate's and the retrigger input's state asks for at frame i. */
function answer(block: Contour, i: i32, gateChanged: bool, retriggered: bool): void {
  const high = block.gateHigh != 0;
  const rises = (gateChanged && high) || (retriggered && (high || block.settingShape == AD));
  if (rises) attack(block, i, 0);
  const stage = block.stage;
  if (gateChanged && !high && block.settingShape != AD && (stage == ATTACK || stage == DECAY)) release(block, i, 0);
  if (stage == SUSTAIN && (!high || block.settingLoop != LOOP_OFF || block.settingShape == AD)) {
    if (block.over && level(block, i) == 0) block.stage = REST;
    else release(block, i, 0);
    block.over = 0;
  }
  if (block.stage == REST && block.settingLoop != LOOP_OFF && (block.settingLoop == LOOP_ON || high)) attack(block, i, 0);
}

/** [audio thread] */
export function process(block: Contour, from: i32, to: i32): void {
  const gated = isPatched(block, CONTOUR_GATE);
  const retriggering = isPatched(block, CONTOUR_RETRIGGER);
  let gateChanged = !gated && block.gateHigh != 0; // unplugged while high
  if (!gated) block.gateHigh = 0;
  if (!retriggering) block.retriggerHigh = 0;
  let gateAt = gated ? nextChange(block.inputGate, from, to, block.gateHigh) : to;
  let retriggerAt = retriggering ? nextChange(block.inputRetrigger, from, to, block.retriggerHigh) : to;
  let i = from;
  while (i < to) {
    let retriggered = false;
    if (gateAt == i) {
      block.gateHigh ^= 1;
      gateChanged = true;
      gateAt = nextChange(block.inputGate, i + 1, to, block.gateHigh);
    }
    if (retriggerAt == i) {
      block.retriggerHigh ^= 1;
      retriggered = block.retriggerHigh != 0;
      retriggerAt = nextChange(block.inputRetrigger, i + 1, to, block.retriggerHigh);
    }
    if (isMoving(block)) timed(block, i);
    settle(block, i);
    answer(block, i, gateChanged, retriggered);
    settle(block, i);
    gateChanged = false;
    let n = min<i32>(gateAt, retriggerAt);
    if (block.cycleEnd > 0) n = min<i32>(n, i + block.cycleEnd);
    if (isMoving(block)) {
      if (!isHeld(timeInput(block), n)) n = i + 1;
      if (block.left < <i64>(n - i)) n = i + <i32>block.left;
    }
    segment(block, i, n);
    i = n;
  }
}

/** Writes frames without any event. */
function segment(block: Contour, from: i32, to: i32): void {
  putGate(block.outputAttackEnd, from, to, block.attackEnd != 0);
  putGate(block.outputCycleEnd, from, to, block.cycleEnd > 0);
  if (block.cycleEnd > 0) block.cycleEnd -= to - from;
  const contour = block.outputContour;
  const inverted = block.outputInverted;
  const follows = block.sustained != 0 && block.gliding != 0 && (block.stage == SUSTAIN || block.stage == DECAY);
  if (!isMoving(block) && !follows) {
    const volts = <f32>level(block, from);
    if (contour != 0) hold(contour, from, to, volts);
    if (inverted != 0) hold(inverted, from, to, <f32>PEAK - volts);
    return;
  }
  if (contour != 0) vary(contour, from);
  run(block, contour != 0 ? contour : UNREAD, from, to, follows);
  if (inverted != 0) {
    vary(inverted, from);
    mirror(contour != 0 ? contour : UNREAD, inverted, from, to);
  }
}

/** volts = base + span s */
function run(block: Contour, out: usize, from: i32, to: i32, follows: bool): void {
  const stage = block.stage;
  let i = from;
  if (follows) {
    const decays = stage == DECAY;
    for (; i < to; i++) {
      const target = floorOf(block, i);
      store<f32>(out + ((<usize>i) << 2), <f32>(decays ? PEAK + (target - PEAK) * block.s : target));
      if (decays) moveOn(block);
    }
    if (!decays) return;
  } else {
    const base = stage == ATTACK ? 0 : stage == DECAY ? PEAK : block.start;
    const span = stage == ATTACK ? PEAK : stage == DECAY ? floorOf(block, from) - PEAK : -block.start;
    i = fours(block, out, from, to, base, span);
    for (; i < to; i++) {
      store<f32>(out + ((<usize>i) << 2), <f32>(base + span * block.s));
      moveOn(block);
    }
  }
  block.count += <f64>(to - from);
  block.left -= <i64>(to - from);
}

/** Four frames at a time; answers the first frame that is left over. */
// @ts-ignore: decorator
@inline
function fours(block: Contour, out: usize, from: i32, to: i32, base: f64, span: f64): i32 {
  const place = changetype<usize>(block) + offsetof<Contour>('s');
  const keep = f64x2.splat(block.keep);
  const step = f64x2.splat(block.step);
  const bases = f64x2.splat(base);
  const spans = f64x2.splat(span);
  let first = v128.load(place);
  let second = v128.load(place, 16);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const low = f32x4.demote_f64x2_zero(f64x2.add(bases, f64x2.mul(spans, first)));
    const high = f32x4.demote_f64x2_zero(f64x2.add(bases, f64x2.mul(spans, second)));
    v128.store(out + ((<usize>i) << 2), i64x2.shuffle(low, high, 0, 2));
    first = f64x2.add(f64x2.mul(keep, first), step);
    second = f64x2.add(f64x2.mul(keep, second), step);
  }
  v128.store(place, first);
  v128.store(place, second, 16);
  return i;
}

/** inverted = 8 V - contour */
function mirror(contour: usize, inverted: usize, from: i32, to: i32): void {
  const peak = f32x4.splat(<f32>PEAK);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    v128.store(inverted + at, f32x4.sub(peak, v128.load(contour + at)));
  }
  for (; i < to; i++) {
    const at = (<usize>i) << 2;
    store<f32>(inverted + at, <f32>PEAK - load<f32>(contour + at));
  }
}
