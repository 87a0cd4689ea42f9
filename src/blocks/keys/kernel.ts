/**
 * Keyboard: one pitch, gate and velocity from the keys that are held (MIDI 1.0 note numbers, 60 = C4 = 0 V, 12 to the volt).
 * Notes come as messages between two frames and are answered on the next one.
 */
import { hold, sloped, vary, write } from '../../dsp/block';
import { putGate, putVolts } from '../../dsp/pulse';
import { isSettled, rampAt, rampLeft, rampPass, rampTo } from '../../dsp/ramp';
import { frameOf, sooner, triggerFrames } from '../../dsp/time';
import { KeysPorts } from '../layouts.gen';

const NOTE_OFF: i32 = 0;
const NOTE_ON: i32 = 1;
const BEND: i32 = 2;
const WHEEL: i32 = 3;
const ALL_OFF: i32 = 4;

const LOWEST: f64 = 1;
const HIGHEST: f64 = 2;

/** Bend and wheel glide like any control that is moved by hand, in seconds. */
const HAND_GLIDE: f64 = 0.005;
const VELOCITY_PEAK: f64 = 8;

@unmanaged
export class Keys extends KeysPorts {
  trigger: i64;

  /** Absolute frame of the next frame to come. */
  now: i64;
  triggerFall: i64;
  /** First absolute frame at which the gate may be high. */
  gateFree: i64;
  /** Held keys, in the order in which they were struck: bytes of the 16 fields below. */
  count: i32;
  /** The key that sounds, or sounded last; -1 before the first. */
  note: i32;
  /** Was the gate high on the last frame? */
  wasHigh: i32;
  velocity: f32;
  // four f64 for each dsp/ramp
  pitchStart: f64;
  pitchTarget: f64;
  pitchDone: f64;
  pitchLength: f64;
  bendStart: f64;
  bendTarget: f64;
  bendDone: f64;
  bendLength: f64;
  wheelStart: f64;
  wheelTarget: f64;
  wheelDone: f64;
  wheelLength: f64;
  held0: u64;
  held1: u64;
  held2: u64;
  held3: u64;
  held4: u64;
  held5: u64;
  held6: u64;
  held7: u64;
  held8: u64;
  held9: u64;
  held10: u64;
  held11: u64;
  held12: u64;
  held13: u64;
  held14: u64;
  held15: u64;
}

export function init(block: Keys): void {
  block.trigger = <i64>triggerFrames(block.sampleRate);
  block.note = -1;
}

export function update(block: Keys): void {}

// @ts-ignore: decorator
@inline
function pitchRamp(block: Keys): usize {
  return changetype<usize>(block) + offsetof<Keys>('pitchStart');
}

// @ts-ignore: decorator
@inline
function bendRamp(block: Keys): usize {
  return changetype<usize>(block) + offsetof<Keys>('bendStart');
}

// @ts-ignore: decorator
@inline
function wheelRamp(block: Keys): usize {
  return changetype<usize>(block) + offsetof<Keys>('wheelStart');
}

/** Address of the i-th held key. */
// @ts-ignore: decorator
@inline
function heldAt(block: Keys, i: i32): usize {
  return changetype<usize>(block) + offsetof<Keys>('held0') + <usize>i;
}

/** Takes a key out of the held ones, if it is there. */
function forget(block: Keys, note: i32): void {
  for (let i = 0; i < block.count; i++) {
    if (<i32>load<u8>(heldAt(block, i)) != note) continue;
    memory.copy(heldAt(block, i), heldAt(block, i + 1), <usize>(block.count - i - 1));
    block.count -= 1;
    return;
  }
}

/** The held key that should sound. */
function chosen(block: Keys): i32 {
  const priority = block.settingPriority;
  let best = <i32>load<u8>(heldAt(block, block.count - 1));
  if (priority != LOWEST && priority != HIGHEST) return best;
  for (let i = 0; i < block.count; i++) {
    const note = <i32>load<u8>(heldAt(block, i));
    if (priority == LOWEST ? note < best : note > best) best = note;
  }
  return best;
}

function sound(block: Keys, note: i32): void {
  const first = block.note < 0;
  block.note = note;
  rampTo(pitchRamp(block), <f64>(note - 60) / 12, first ? 0 : block.settingGlide * block.sampleRate);
}

function noteOn(block: Keys, note: i32, velocity: f64): void {
  // let go and struck again between two frames: the gate shows it by one low frame
  if (block.count == 0 && block.wasHigh) block.gateFree = block.now + 1;
  forget(block, note);
  store<u8>(heldAt(block, block.count), <u8>note);
  block.count += 1;
  if (chosen(block) != note) return;
  block.velocity = <f32>(VELOCITY_PEAK * min<f64>(max<f64>(velocity, 0), 1));
  block.triggerFall = block.now + block.trigger;
  sound(block, note);
}

function noteOff(block: Keys, note: i32): void {
  forget(block, note);
  if (block.count == 0) return;
  const next = chosen(block);
  if (next != block.note) sound(block, next);
}

/** Notes, bend (-1..1 of the range), wheel (0..1). [audio thread] */
export function message(block: Keys, code: i32, a: f64, b: f64): void {
  const handFrames = HAND_GLIDE * block.sampleRate;
  const note = <i32>min<i64>(max<i64>(frameOf(a), 0), 127);
  if (code == NOTE_ON) noteOn(block, note, b);
  else if (code == NOTE_OFF) noteOff(block, note);
  else if (code == BEND) rampTo(bendRamp(block), min<f64>(max<f64>(a, -1), 1), handFrames);
  else if (code == WHEEL) rampTo(wheelRamp(block), min<f64>(max<f64>(a, 0), 1), handFrames);
  else if (code == ALL_OFF) block.count = 0;
}

/** [audio thread] */
export function process(block: Keys, from: i32, to: i32): void {
  let i = from;
  while (i < to) {
    const now = block.now;
    let n = to;
    if (block.triggerFall > now) n = sooner(n, block.triggerFall, now, i);
    if (block.gateFree > now) n = sooner(n, block.gateFree, now, i);
    if (!isSettled(pitchRamp(block))) n = i + rampLeft(pitchRamp(block), n - i);
    if (!isSettled(bendRamp(block))) n = i + rampLeft(bendRamp(block), n - i);
    if (!isSettled(wheelRamp(block))) n = i + rampLeft(wheelRamp(block), n - i);
    const high = block.count > 0 && block.gateFree <= now;
    putGate(block.outputGate, i, n, high);
    putGate(block.outputTrigger, i, n, block.triggerFall > now);
    putVolts(block.outputVelocity, i, n, block.velocity);
    if (block.outputPitch != 0) pitch(block, i, n);
    if (block.outputWheel != 0) wheel(block, i, n);
    rampPass(pitchRamp(block), n - i);
    rampPass(bendRamp(block), n - i);
    rampPass(wheelRamp(block), n - i);
    block.wasHigh = high ? 1 : 0;
    block.now += n - i;
    i = n;
  }
}

/** Note on its glide plus the bend. */
// @ts-ignore: decorator
@inline
function pitchAt(block: Keys, i: i32, ahead: i32): f32 {
  const range = sloped(block, block.settingBendRange, block.slopeBendRange, i);
  return <f32>(rampAt(pitchRamp(block), <f64>ahead) + (rampAt(bendRamp(block), <f64>ahead) * range) / 12);
}

function pitch(block: Keys, from: i32, to: i32): void {
  const out = block.outputPitch;
  if (block.gliding == 0 && isSettled(pitchRamp(block)) && isSettled(bendRamp(block))) {
    hold(out, from, to, pitchAt(block, from, 0));
    return;
  }
  vary(out, from);
  for (let i = from; i < to; i++) write(out, i, pitchAt(block, i, i - from));
}

function wheel(block: Keys, from: i32, to: i32): void {
  const out = block.outputWheel;
  if (isSettled(wheelRamp(block))) {
    hold(out, from, to, <f32>(VELOCITY_PEAK * rampAt(wheelRamp(block), 0)));
    return;
  }
  vary(out, from);
  for (let i = from; i < to; i++) write(out, i, <f32>(VELOCITY_PEAK * rampAt(wheelRamp(block), <f64>(i - from))));
}
