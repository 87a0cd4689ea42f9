/**
 * Quantizer. Notes are whole semitones from C4 (0 V), x = 12 x volts. A new note is the allowed one nearest to x, the lower of two
 * that are equally near. It stays until x lies more than `hysteresis` beyond the midpoint to the next allowed note; without
 * hysteresis that is the same rule. Transpose, rounded to semitones, is added after. The trigger output fires when the sum changes.
 *
 * With a trigger patched, pitch and transpose are taken on its edges; before the first the output stands at 0 V. The first note
 * counts as a change.
 */
import { isHeld, isPatched, rail, read } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate, putVolts } from '../../dsp/pulse';
import { sooner, triggerFrames } from '../../dsp/time';
import { QUANTIZER_TRIGGER, QuantizerPorts } from '../layouts.gen';
import { scaleMasks } from './scales';

const OCTAVE: i32 = 12;
const EMIT_ALWAYS: f64 = 1;

@unmanaged
export class Quantizer extends QuantizerPorts {
  trigger: i64;
  /** Allowed pitch classes: bit 0 is C. */
  allowed: i32;
  /** A note has been taken. */
  known: i32;
  // the note stays while low < x <= high; follows from the note and the settings
  low: f64;
  high: f64;
  /** Semitones from C4, without and with transpose. */
  note: i32;
  sum: i32;
  triggerHigh: i32;
  pad0: i32;
  /** Absolute frame of the next frame to come. */
  now: i64;
  /** Absolute frames at which the trigger output falls, and at which the gate comes back after a change. */
  triggerFall: i64;
  gateRise: i64;
}

export function init(block: Quantizer): void {
  block.trigger = <i64>triggerFrames(block.sampleRate);
}

/** The set of 12 switches where at least one is on, else the scale on its root. */
function allowedNotes(block: Quantizer): i32 {
  let own = 0;
  for (let k = 0; k < OCTAVE; k++) if (block.notesOn(k) != 0) own |= 1 << k;
  if (own != 0) return own;
  const scale = unchecked(scaleMasks[<i32>block.settingScale]);
  const root = <i32>block.settingRoot;
  return ((scale << root) | (scale >> (OCTAVE - root))) & 0xfff;
}

/** [audio thread] */
export function update(block: Quantizer): void {
  block.allowed = allowedNotes(block);
  bounds(block);
}

// @ts-ignore: decorator
@inline
function isAllowed(block: Quantizer, note: i32): bool {
  const octaves = <i32>floor<f64>(<f64>note / <f64>OCTAVE);
  return ((block.allowed >> (note - octaves * OCTAVE)) & 1) != 0;
}

/** The allowed note nearest to a place in semitones, the lower of two that are equally near. */
function nearestNote(block: Quantizer, x: f64): i32 {
  let below = <i32>floor<f64>(x);
  let above = below + 1;
  while (!isAllowed(block, below)) below--;
  while (!isAllowed(block, above)) above++;
  return x - <f64>below <= <f64>above - x ? below : above;
}

/** Sets how far the input may go while the note stays; nowhere, if the note is not allowed any more. */
function bounds(block: Quantizer): void {
  const note = block.note;
  if (!block.known || !isAllowed(block, note)) {
    block.low = Infinity;
    block.high = -Infinity;
    return;
  }
  let below = note - 1;
  let above = note + 1;
  while (!isAllowed(block, below)) below--;
  while (!isAllowed(block, above)) above++;
  const hysteresis = block.settingHysteresis * 0.01;
  block.low = 0.5 * <f64>(below + note) - hysteresis;
  block.high = 0.5 * <f64>(note + above) + hysteresis;
}

// @ts-ignore: decorator
@inline
function place(block: Quantizer, frame: i32): f64 {
  return <f64>read(block.inputPitch, frame) * <f64>OCTAVE;
}

// @ts-ignore: decorator
@inline
function leaves(block: Quantizer, x: f64): bool {
  return x > block.high || x <= block.low;
}

/** Semitones of transpose at a frame; a half goes up. */
// @ts-ignore: decorator
@inline
function transposeAt(block: Quantizer, frame: i32): i32 {
  return <i32>floor<f64>(<f64>read(block.inputTranspose, frame) * <f64>OCTAVE + 0.5);
}

/** Takes the inputs as they are on a frame; answers whether the sum changed. */
function take(block: Quantizer, frame: i32): bool {
  const x = place(block, frame);
  const first = !block.known;
  if (leaves(block, x)) {
    block.note = nearestNote(block, x);
    block.known = 1;
    bounds(block);
  }
  const before = block.sum;
  block.sum = block.note + transposeAt(block, frame);
  return first || block.sum != before;
}

/** [audio thread] */
export function process(block: Quantizer, from: i32, to: i32): void {
  if (isPatched(block, QUANTIZER_TRIGGER)) sampled(block, from, to);
  else {
    block.triggerHigh = 0;
    continuous(block, from, to);
  }
}

function sampled(block: Quantizer, from: i32, to: i32): void {
  let changeAt = nextChange(block.inputTrigger, from, to, block.triggerHigh);
  let i = from;
  while (i < to) {
    const now = block.now;
    if (changeAt == i) {
      block.triggerHigh ^= 1;
      if (block.triggerHigh) {
        const changed = take(block, i);
        if (changed || block.settingEmit == EMIT_ALWAYS) block.triggerFall = now + block.trigger;
      }
      changeAt = nextChange(block.inputTrigger, i + 1, to, block.triggerHigh);
    }
    put(block, i, changeAt, block.triggerHigh != 0);
    i = changeAt;
  }
  block.gateRise = block.now;
}

/** A frame from..to that is not behind the first on which the note is left; four frames at a time. */
function nextLeaving(block: Quantizer, from: i32, to: i32): i32 {
  const pitch = block.inputPitch;
  const twelve = f64x2.splat(<f64>OCTAVE);
  const high = f64x2.splat(block.high);
  const low = f64x2.splat(block.low);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const volts = v128.load(pitch + ((<usize>i) << 2));
    const a = f64x2.mul(f64x2.promote_low_f32x4(volts), twelve);
    const b = f64x2.mul(f64x2.promote_low_f32x4(i64x2.shuffle(volts, volts, 1, 1)), twelve);
    const above = v128.or(f64x2.gt(a, high), f64x2.gt(b, high));
    const below = v128.or(f64x2.le(a, low), f64x2.le(b, low));
    if (v128.any_true(v128.or(above, below))) break;
  }
  return i;
}

/** First of the frames from + 1..to - 1 on which the note or transpose changes, else `to`. */
function nextSum(block: Quantizer, from: i32, to: i32): i32 {
  const still = isHeld(block.inputTranspose, to);
  if (still && isHeld(block.inputPitch, to)) return to;
  const transpose = transposeAt(block, from);
  let i = from + 1;
  if (still) i = nextLeaving(block, i, to);
  while (i < to && !leaves(block, place(block, i)) && (still || transposeAt(block, i) == transpose)) i++;
  return i;
}

function continuous(block: Quantizer, from: i32, to: i32): void {
  let i = from;
  while (i < to) {
    const now = block.now;
    const first = !block.known;
    if (take(block, i)) {
      block.triggerFall = now + block.trigger;
      if (!first) block.gateRise = now + block.trigger; // the first note has no gate before it
    }
    let n = nextSum(block, i, to);
    if (block.gateRise > now) n = sooner(n, block.gateRise, now, i);
    put(block, i, n, block.gateRise <= now);
    i = n;
  }
}

/** Writes frames from..to-1, over which note and gate stand still, and goes on to `to`. */
function put(block: Quantizer, from: i32, to: i32, gate: bool): void {
  putGate(block.outputGate, from, to, gate);
  putVolts(block.outputPitch, from, to, block.known ? rail(<f32>(<f64>block.sum / <f64>OCTAVE)) : 0);
  const out = block.outputTrigger;
  if (out != 0) {
    const fall = block.triggerFall > block.now ? sooner(to, block.triggerFall, block.now, from) : from;
    putGate(out, from, fall, true);
    putGate(out, fall, to, false);
  }
  block.now += to - from;
}
