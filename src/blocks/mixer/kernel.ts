import { hold, isHeld, isPatched, RAIL, rail, read, sloped, vary } from '../../dsp/block';
import { MIXER_IN1, MIXER_IN2, MIXER_IN3, MIXER_IN4, MIXER_IN5, MIXER_IN6, MixerPorts } from '../layouts.gen';

@unmanaged
export class Mixer extends MixerPorts {
  gain1: f32;
  gain2: f32;
  gain3: f32;
  gain4: f32;
  gain5: f32;
  gain6: f32;
  gain: f32;
}

/** [audio thread] */
export function update(block: Mixer): void {
  block.gain1 = <f32>block.settingLevel1;
  block.gain2 = <f32>block.settingLevel2;
  block.gain3 = <f32>block.settingLevel3;
  block.gain4 = <f32>block.settingLevel4;
  block.gain5 = <f32>block.settingLevel5;
  block.gain6 = <f32>block.settingLevel6;
  block.gain = <f32>block.settingLevel;
}

/** The gains of one frame of a glide. */
function glide(block: Mixer, frame: i32): void {
  block.gain1 = <f32>sloped(block, block.settingLevel1, block.slopeLevel1, frame);
  block.gain2 = <f32>sloped(block, block.settingLevel2, block.slopeLevel2, frame);
  block.gain3 = <f32>sloped(block, block.settingLevel3, block.slopeLevel3, frame);
  block.gain4 = <f32>sloped(block, block.settingLevel4, block.slopeLevel4, frame);
  block.gain5 = <f32>sloped(block, block.settingLevel5, block.slopeLevel5, frame);
  block.gain6 = <f32>sloped(block, block.settingLevel6, block.slopeLevel6, frame);
  block.gain = <f32>sloped(block, block.settingLevel, block.slopeLevel, frame);
}

/** Is every patched input constant up to `to`? Unpatched ones are. */
function allHeld(block: Mixer, to: i32): bool {
  return (
    isHeld(block.inputIn1, to) &&
    isHeld(block.inputIn2, to) &&
    isHeld(block.inputIn3, to) &&
    isHeld(block.inputIn4, to) &&
    isHeld(block.inputIn5, to) &&
    isHeld(block.inputIn6, to)
  );
}

/**
 * Sum of one frame in the order of the inputs, then the level, then the rails. It starts from 0, so that leaving out an
 * unpatched input (0 V times its level) cannot change a bit.
 */
function sumAt(block: Mixer, frame: i32): f32 {
  let v: f32 = 0;
  if (isPatched(block, MIXER_IN1)) v += read(block.inputIn1, frame) * block.gain1;
  if (isPatched(block, MIXER_IN2)) v += read(block.inputIn2, frame) * block.gain2;
  if (isPatched(block, MIXER_IN3)) v += read(block.inputIn3, frame) * block.gain3;
  if (isPatched(block, MIXER_IN4)) v += read(block.inputIn4, frame) * block.gain4;
  if (isPatched(block, MIXER_IN5)) v += read(block.inputIn5, frame) * block.gain5;
  if (isPatched(block, MIXER_IN6)) v += read(block.inputIn6, frame) * block.gain6;
  return rail(v * block.gain);
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

/** Signals and gains of the patched inputs, gathered for one range. */
const SIGNALS = memory.data(6 * 4, 16);
const GAINS = memory.data(6 * 4, 16);

// @ts-ignore: decorator
@inline
function gather(count: i32, signal: usize, gain: f32): i32 {
  store<usize>(SIGNALS + ((<usize>count) << 2), signal);
  store<f32>(GAINS + ((<usize>count) << 2), gain);
  return count + 1;
}

/** Four frames at a time; answers the first frame that is left over. */
function wide(block: Mixer, from: i32, to: i32): i32 {
  let count = 0;
  if (isPatched(block, MIXER_IN1)) count = gather(count, block.inputIn1, block.gain1);
  if (isPatched(block, MIXER_IN2)) count = gather(count, block.inputIn2, block.gain2);
  if (isPatched(block, MIXER_IN3)) count = gather(count, block.inputIn3, block.gain3);
  if (isPatched(block, MIXER_IN4)) count = gather(count, block.inputIn4, block.gain4);
  if (isPatched(block, MIXER_IN5)) count = gather(count, block.inputIn5, block.gain5);
  if (isPatched(block, MIXER_IN6)) count = gather(count, block.inputIn6, block.gain6);
  const sum = block.outputSum;
  const inverted = block.outputInverted;
  const out = sum != 0 ? sum : inverted;
  const end = from + ((to - from) & ~3);
  if (out == 0) return end;
  if (count == 1) add(1, out, from, end, block.gain);
  else if (count == 2) add(2, out, from, end, block.gain);
  else if (count == 3) add(3, out, from, end, block.gain);
  else if (count == 4) add(4, out, from, end, block.gain);
  else if (count == 5) add(5, out, from, end, block.gain);
  else add(6, out, from, end, block.gain);
  if (inverted != 0) {
    for (let i = from; i < end; i += 4) {
      const at = (<usize>i) << 2;
      v128.store(inverted + at, f32x4.sub(f32x4.splat(0), v128.load(out + at)));
    }
  }
  return end;
}

/** Adds `count` gathered inputs: a loop of its own for each count, without a branch inside. */
// @ts-ignore: decorator
@inline
function add(count: i32, out: usize, from: i32, to: i32, level: f32): void {
  const in1 = load<usize>(SIGNALS);
  const in2 = load<usize>(SIGNALS, 4);
  const in3 = load<usize>(SIGNALS, 8);
  const in4 = load<usize>(SIGNALS, 12);
  const in5 = load<usize>(SIGNALS, 16);
  const in6 = load<usize>(SIGNALS, 20);
  const gain1 = v128.load32_splat(GAINS);
  const gain2 = v128.load32_splat(GAINS, 4);
  const gain3 = v128.load32_splat(GAINS, 8);
  const gain4 = v128.load32_splat(GAINS, 12);
  const gain5 = v128.load32_splat(GAINS, 16);
  const gain6 = v128.load32_splat(GAINS, 20);
  const gain = f32x4.splat(level);
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
