import { hold, isHeld, isPatched, RAIL, read, sloped, vary, write } from '../../dsp/block';
import { MIXER_IN1, MIXER_IN2, MIXER_IN3, MIXER_IN4, MIXER_IN5, MIXER_IN6, MixerPorts } from '../layouts.gen';

@unmanaged
export class Mixer extends MixerPorts {
  /** How many inputs are patched; their signals and gains follow, in the order of the inputs. */
  count: i32;
  gain: f32;
  signal1: usize;
  signal2: usize;
  signal3: usize;
  signal4: usize;
  signal5: usize;
  signal6: usize;
  gain1: f32;
  gain2: f32;
  gain3: f32;
  gain4: f32;
  gain5: f32;
  gain6: f32;
}

// @ts-ignore: decorator
@inline
function signalAt(block: Mixer, k: i32): usize {
  return load<usize>(changetype<usize>(block) + ((<usize>k) << 2), offsetof<Mixer>('signal1'));
}

// @ts-ignore: decorator
@inline
function gainAt(block: Mixer, k: i32): f32 {
  return load<f32>(changetype<usize>(block) + ((<usize>k) << 2), offsetof<Mixer>('gain1'));
}

// @ts-ignore: decorator
@inline
function gather(block: Mixer, count: i32, input: i32, signal: usize, level: f64): i32 {
  if (!isPatched(block, input)) return count;
  const at = changetype<usize>(block) + ((<usize>count) << 2);
  store<usize>(at, signal, offsetof<Mixer>('signal1'));
  store<f32>(at, <f32>level, offsetof<Mixer>('gain1'));
  return count + 1;
}

/** [audio thread] */
export function update(block: Mixer): void {
  let count = gather(block, 0, MIXER_IN1, block.inputIn1, block.settingLevel1);
  count = gather(block, count, MIXER_IN2, block.inputIn2, block.settingLevel2);
  count = gather(block, count, MIXER_IN3, block.inputIn3, block.settingLevel3);
  count = gather(block, count, MIXER_IN4, block.inputIn4, block.settingLevel4);
  count = gather(block, count, MIXER_IN5, block.inputIn5, block.settingLevel5);
  block.count = gather(block, count, MIXER_IN6, block.inputIn6, block.settingLevel6);
  block.gain = <f32>block.settingLevel;
}

/** The gains of one frame of a glide. */
function glide(block: Mixer, frame: i32): void {
  let count = gather(block, 0, MIXER_IN1, block.inputIn1, sloped(block, block.settingLevel1, block.slopeLevel1, frame));
  count = gather(block, count, MIXER_IN2, block.inputIn2, sloped(block, block.settingLevel2, block.slopeLevel2, frame));
  count = gather(block, count, MIXER_IN3, block.inputIn3, sloped(block, block.settingLevel3, block.slopeLevel3, frame));
  count = gather(block, count, MIXER_IN4, block.inputIn4, sloped(block, block.settingLevel4, block.slopeLevel4, frame));
  count = gather(block, count, MIXER_IN5, block.inputIn5, sloped(block, block.settingLevel5, block.slopeLevel5, frame));
  gather(block, count, MIXER_IN6, block.inputIn6, sloped(block, block.settingLevel6, block.slopeLevel6, frame));
  block.gain = <f32>sloped(block, block.settingLevel, block.slopeLevel, frame);
}

/** Is every patched input constant up to `to`? */
function allHeld(block: Mixer, to: i32): bool {
  for (let k = 0; k < block.count; k++) if (!isHeld(signalAt(block, k), to)) return false;
  return true;
}

/** Sum of one frame in the order of the inputs, then the level, then the rails. */
// @ts-ignore: decorator
@inline
function sumAt(block: Mixer, frame: i32): f32 {
  let v: f32 = 0;
  for (let k = 0; k < block.count; k++) v += read(signalAt(block, k), frame) * gainAt(block, k);
  // pmin and pmax are one machine instruction each
  const kept = f32x4.pmin(f32x4.pmax(f32x4.splat(v * block.gain), f32x4.splat(-RAIL)), f32x4.splat(RAIL));
  return f32x4.extract_lane(kept, 0);
}

// @ts-ignore: decorator
@inline
function put(block: Mixer, frame: i32, volts: f32): void {
  const at = (<usize>frame) << 2;
  if (block.outputSum != 0) store<f32>(block.outputSum + at, volts);
  if (block.outputInverted != 0) store<f32>(block.outputInverted + at, 0 - volts);
}

/** sum = level x (level1 x in1 + ... + level6 x in6), inverted = -sum, both within the rails. [audio thread] */
export function process(block: Mixer, from: i32, to: i32): void {
  const sum = block.outputSum;
  const inverted = block.outputInverted;
  if (block.gliding == 0 && allHeld(block, to)) {
    const volts = sumAt(block, from);
    if (sum != 0) hold(sum, from, to, volts);
    if (inverted != 0) hold(inverted, from, to, 0 - volts);
    return;
  }
  if (sum != 0) vary(sum, from);
  if (inverted != 0) vary(inverted, from);
  let i = from;
  if (block.gliding != 0) {
    for (; i < to; i++) {
      glide(block, i);
      put(block, i, sumAt(block, i));
    }
    update(block); // back to the latched values, which other cuts would still have
    return;
  }
  if (i + 4 <= to) i = wide(block, i, to);
  for (; i < to; i++) put(block, i, sumAt(block, i));
}

/** One frame of it, in a loop. [audio thread] */
export function tick(block: Mixer, i: i32, _to: i32): void {
  const volts = sumAt(block, i);
  const sum = block.outputSum;
  const inverted = block.outputInverted;
  if (sum != 0) {
    vary(sum, i);
    write(sum, i, volts);
  }
  if (inverted != 0) {
    vary(inverted, i);
    write(inverted, i, 0 - volts);
  }
}

/** Four frames at a time; answers the first frame that is left over. */
function wide(block: Mixer, from: i32, to: i32): i32 {
  const count = block.count;
  const sum = block.outputSum;
  const inverted = block.outputInverted;
  const out = sum != 0 ? sum : inverted;
  const end = from + ((to - from) & ~3);
  if (out == 0) return end;
  if (count == 1) add(block, 1, out, from, end);
  else if (count == 2) add(block, 2, out, from, end);
  else if (count == 3) add(block, 3, out, from, end);
  else if (count == 4) add(block, 4, out, from, end);
  else if (count == 5) add(block, 5, out, from, end);
  else add(block, 6, out, from, end);
  if (inverted != 0) {
    for (let i = from; i < end; i += 4) {
      const at = (<usize>i) << 2;
      v128.store(inverted + at, f32x4.sub(f32x4.splat(0), v128.load(out + at)));
    }
  }
  return end;
}

/** Adds the first `count` patched inputs: a loop of its own for each count, without a branch inside. */
// @ts-ignore: decorator
@inline
function add(block: Mixer, count: i32, out: usize, from: i32, to: i32): void {
  const in1 = block.signal1;
  const in2 = block.signal2;
  const in3 = block.signal3;
  const in4 = block.signal4;
  const in5 = block.signal5;
  const in6 = block.signal6;
  const gain1 = f32x4.splat(block.gain1);
  const gain2 = f32x4.splat(block.gain2);
  const gain3 = f32x4.splat(block.gain3);
  const gain4 = f32x4.splat(block.gain4);
  const gain5 = f32x4.splat(block.gain5);
  const gain6 = f32x4.splat(block.gain6);
  const gain = f32x4.splat(block.gain);
  for (let i = from; i < to; i += 4) {
    const at = (<usize>i) << 2;
    let v = f32x4.add(f32x4.splat(0), f32x4.mul(v128.load(in1 + at), gain1));
    if (count > 1) v = f32x4.add(v, f32x4.mul(v128.load(in2 + at), gain2));
    if (count > 2) v = f32x4.add(v, f32x4.mul(v128.load(in3 + at), gain3));
    if (count > 3) v = f32x4.add(v, f32x4.mul(v128.load(in4 + at), gain4));
    if (count > 4) v = f32x4.add(v, f32x4.mul(v128.load(in5 + at), gain5));
    if (count > 5) v = f32x4.add(v, f32x4.mul(v128.load(in6 + at), gain6));
    v128.store(out + at, f32x4.pmin(f32x4.pmax(f32x4.mul(v, gain), f32x4.splat(-RAIL)), f32x4.splat(RAIL)));
  }
}
