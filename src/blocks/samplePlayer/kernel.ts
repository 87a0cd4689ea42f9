/**
 * Sample player: reads a sound file at 2^pitch times its own speed (soundReader.ts), 10 V at full scale.
 *
 * An edge at `play` starts it on that frame, at start + V / 8 of the length, rounded to a sample of the file. What still sounds is
 * cut off by a fade of 1.5 ms; what begins at the file's own first sample begins at once, so that an attack stays as it is, and what begins
 * inside the file fades in over 1.5 ms. Looped, the end is followed by the start as if they lay side by side (no fade: a single cycle
 * makes a steady tone); where the start has been moved meanwhile, the next round begins there behind a cross-fade.
 * `end` fires on the first frame at or beyond the end of the file, in each round. Up to 5 octaves up.
 *
 * The place in the file is anchor + frames x speed, anchored anew only when the speed changes: nothing is accumulated.
 * Measured at 48 kHz with sines to 18 kHz (tests/published/soundReading.test.ts): alias and images -99 dB from two octaves
 * down to two octaves up.
 */
import { hold, isHeld, isPatched, rail, read, sloped, vary, write } from '../../dsp/block';
import { gainOf } from '../../dsp/decibel';
import { nextChange } from '../../dsp/edge';
import { exp2 } from '../../dsp/exp2';
import { putGate } from '../../dsp/pulse';
import { prepareSoundReader, readSound, Sound, soundLeft, soundRight } from '../../dsp/soundReader';
import { frameOf, triggerFrames } from '../../dsp/time';
import { SAMPLEPLAYER_PLAY, SamplePlayerPorts } from '../layouts.gen';

const FULL_SCALE: f64 = 10;
const FADE_SECONDS: f64 = 0.0015;
/** What is left of a sound that had to stop at once dies away in this time constant. */
const REST_SECONDS: f64 = 0.0005;
const REST_VOLTS: f64 = 1e-6;
const MOST_OCTAVES: f64 = 5;
/** Samples by which a place may fall short of the end and count as there: far above the rounding of a place. */
const SHORT: f64 = 1e-6;

/** The sound as one of the two voices reads it. */
const SOUND = memory.data(offsetof<Sound>(), 16);

@unmanaged
export class SamplePlayer extends SamplePlayerPorts {
  // coefficients
  gain: f64; // volts at full scale
  dying: f64;
  fade: i32; // frames
  trigger: i32; // frames
  // state
  high: i32; // play was seen high
  playing: i32;
  wrapped: i32;
  loopStart: i32;
  fadedIn: i32; // frames of the fade-in that are done
  fadesOut: i32; // frames for which what was cut off still sounds
  oldWrapped: i32;
  oldLoopStart: i32;
  endLeft: i32; // frames for which the end trigger stays high
  seenFrames: i32;
  seenMemory: usize;
  frames: f64; // since the anchors were set
  speed: f64; // samples of the file per frame
  anchor: f64;
  oldAnchor: f64;
  oldLevel: f64; // share at which the fade-out began
  // volts on the last frame: all, and what was cut off
  left: f64;
  right: f64;
  oldLeft: f64;
  oldRight: f64;
  // volts of what had to stop at once
  restLeft: f64;
  restRight: f64;
}

export function prepare(sampleRate: f64, quality: i32): void {
  prepareSoundReader();
}

export function update(block: SamplePlayer): void {
  block.gain = FULL_SCALE * gainOf(block.settingGain);
  block.dying = exp2(-Math.LOG2E / (REST_SECONDS * block.sampleRate));
  block.fade = max<i32>(1, <i32>frameOf(FADE_SECONDS * block.sampleRate));
  block.trigger = triggerFrames(block.sampleRate);
}

/** [audio thread] */
export function process(block: SamplePlayer, from: i32, to: i32): void {
  if (block.memory != block.seenMemory || block.memoryFrames != block.seenFrames) changeFile(block);
  const play = block.inputPlay;
  const patched = isPatched(block, SAMPLEPLAYER_PLAY);
  const there = block.memoryFrames > 0;
  let change = patched ? nextChange(play, from, to, block.high) : to;
  let at = from;
  while (at < to) {
    if (change == at) {
      block.high ^= 1;
      if (block.high && there) begin(block, at);
      change = nextChange(play, at + 1, to, block.high);
    }
    if (!patched && there && !block.playing && block.settingLoop != 0) begin(block, at);
    if (isStill(block)) {
      rest(block, at, change);
      at = change;
    } else at = sound(block, at, change);
  }
}

// @ts-ignore: decorator
@inline
function isStill(block: SamplePlayer): bool {
  return !block.playing && block.fadesOut == 0 && block.restLeft == 0 && block.restRight == 0;
}

/** Another file lies in the memory: what sounded has nothing to read any more. */
function changeFile(block: SamplePlayer): void {
  block.seenMemory = block.memory;
  block.seenFrames = block.memoryFrames;
  block.restLeft = block.left;
  block.restRight = block.right;
  block.playing = 0;
  block.fadesOut = 0;
}

/** Sample of the file at which a start on frame i begins. */
function startAt(block: SamplePlayer, i: i32): i32 {
  const share = sloped(block, block.settingStart, block.slopeStart, i) + <f64>read(block.inputStart, i) / 8;
  return min<i32>(<i32>frameOf(min<f64>(max<f64>(share, 0), 1) * <f64>block.memoryFrames), block.memoryFrames - 1);
}

function begin(block: SamplePlayer, i: i32): void {
  if (block.playing) cutOff(block);
  settle(block, block.speed);
  const start = startAt(block, i);
  block.playing = 1;
  block.wrapped = 0;
  block.loopStart = start;
  block.anchor = <f64>start;
  block.fadedIn = start == 0 ? block.fade : 0;
}

/** What plays goes on behind, fading out. */
function cutOff(block: SamplePlayer): void {
  if (block.fadesOut > 0) {
    block.restLeft += block.oldLeft;
    block.restRight += block.oldRight;
  }
  block.oldAnchor = block.anchor;
  block.oldWrapped = block.wrapped;
  block.oldLoopStart = block.loopStart;
  block.oldLevel = shareOf(block.fadedIn, block.fade);
  block.fadesOut = block.fade;
}

/** Share of a fade after `done` of its frames: 3 x^2 - 2 x^3. */
// @ts-ignore: decorator
@inline
function shareOf(done: i32, frames: i32): f64 {
  const x = <f64>done / <f64>frames;
  return x * x * (3 - 2 * x);
}

/** Sets the anchors to where the voices are. */
function settle(block: SamplePlayer, speed: f64): void {
  const gone = block.frames * block.speed;
  block.anchor += gone;
  block.oldAnchor += gone;
  block.frames = 0;
  block.speed = speed;
}

/** The end of the file has come on frame i. */
function passEnd(block: SamplePlayer, i: i32): void {
  if (block.settingLoop == 0) {
    cutOff(block);
    block.playing = 0;
    return;
  }
  const start = startAt(block, i);
  if (start != block.loopStart) {
    begin(block, i);
    return;
  }
  settle(block, block.speed);
  block.anchor = aroundLoop(block.anchor, start, block.memoryFrames);
  block.wrapped = 1;
}

/** The place in the loop of one at or (by rounding) just before its end. */
function aroundLoop(position: f64, start: i32, frames: i32): f64 {
  const over = max<f64>(0, position - <f64>frames);
  const length = <f64>(frames - start);
  return <f64>start + (over - floor<f64>(over / length) * length);
}

/** Silence over frames from..to-1. */
function rest(block: SamplePlayer, from: i32, to: i32): void {
  block.left = 0;
  block.right = 0;
  if (block.outputLeft != 0) hold(block.outputLeft, from, to, 0);
  if (block.outputRight != 0) hold(block.outputRight, from, to, 0);
  putEnd(block, from, to);
}

/** Writes the end trigger as it stands. */
function putEnd(block: SamplePlayer, from: i32, to: i32): void {
  const high = min<i32>(block.endLeft, to - from);
  if (high > 0) putGate(block.outputEnd, from, from + high, true);
  if (from + high < to) putGate(block.outputEnd, from + high, to, false);
  block.endLeft -= high;
}

/** Sounds over frames from..to-1 or until it is still; returns how far it came. */
function sound(block: SamplePlayer, from: i32, to: i32): i32 {
  const pitch = block.inputPitch;
  const steady = isHeld(pitch, to);
  const own = block.memoryRate / block.sampleRate;
  const last = <f64>block.memoryFrames - SHORT;
  if (block.outputLeft != 0) vary(block.outputLeft, from);
  if (block.outputRight != 0) vary(block.outputRight, from);
  let speed = speedAt(own, pitch, from);
  let written = from;
  let i = from;
  for (; i < to; i++) {
    if (!steady) speed = speedAt(own, pitch, i);
    if (speed != block.speed) settle(block, speed);
    if (block.playing && block.anchor + block.frames * speed >= last) {
      if (written < i) putEnd(block, written, i);
      written = i;
      block.endLeft = block.trigger;
      passEnd(block, i);
    }
    if (isStill(block)) break;
    frame(block, i);
    block.frames += 1;
  }
  if (written < i) putEnd(block, written, i);
  return i;
}

// @ts-ignore: decorator
@inline
function speedAt(own: f64, pitch: usize, i: i32): f64 {
  return own * exp2(min<f64>(<f64>read(pitch, i), MOST_OCTAVES));
}

/** Writes frame i. */
function frame(block: SamplePlayer, i: i32): void {
  const gain = block.gliding != 0 ? FULL_SCALE * gainOf(sloped(block, block.settingGain, block.slopeGain, i)) : block.gain;
  let left: f64 = 0;
  let right: f64 = 0;
  if (block.playing) {
    readVoice(block, block.anchor, block.loopStart, block.wrapped);
    let level = gain;
    if (block.fadedIn < block.fade) {
      block.fadedIn++;
      level *= shareOf(block.fadedIn, block.fade);
    }
    left = level * <f64>soundLeft;
    right = level * <f64>soundRight;
  }
  if (block.fadesOut > 0) {
    block.fadesOut--;
    readVoice(block, block.oldAnchor, block.oldLoopStart, block.oldWrapped);
    const level = gain * block.oldLevel * shareOf(block.fadesOut, block.fade);
    block.oldLeft = level * <f64>soundLeft;
    block.oldRight = level * <f64>soundRight;
    left += block.oldLeft;
    right += block.oldRight;
  }
  block.restLeft = dyingAway(block.restLeft, block.dying);
  block.restRight = dyingAway(block.restRight, block.dying);
  block.left = left + block.restLeft;
  block.right = right + block.restRight;
  if (block.outputLeft != 0) write(block.outputLeft, i, rail(<f32>block.left));
  if (block.outputRight != 0) write(block.outputRight, i, rail(<f32>block.right));
}

// @ts-ignore: decorator
@inline
function dyingAway(volts: f64, dying: f64): f64 {
  const next = volts * dying;
  return abs<f64>(next) < REST_VOLTS ? 0 : next;
}

function readVoice(block: SamplePlayer, anchor: f64, loopStart: i32, wrapped: i32): void {
  const sound = changetype<Sound>(SOUND);
  const looping = block.settingLoop != 0;
  const frames = block.memoryFrames;
  let position = anchor + block.frames * block.speed;
  sound.left = block.memory;
  sound.right = block.memory + ((<usize>frames) << 2);
  sound.frames = frames;
  sound.looping = looping ? 1 : 0;
  sound.loopStart = loopStart;
  sound.wrapped = wrapped;
  if (looping && position >= <f64>frames) position = aroundLoop(position, loopStart, frames); // what was cut off
  readSound(sound, position, block.speed);
}
