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

/** Four frames at a time; answers the first frame that is left over. */
function wide(block: Mixer, from: i32, to: i32): i32 {
  const sum = block.outputSum;
  const inverted = block.outputInverted;
  const patched = block.patched;
  const in1 = block.inputIn1;
  const in2 = block.inputIn2;
  const in3 = block.inputIn3;
  const in4 = block.inputIn4;
  const in5 = block.inputIn5;
  const in6 = block.inputIn6;
  const gain1 = f32x4.splat(block.gain1);
  const gain2 = f32x4.splat(block.gain2);
  const gain3 = f32x4.splat(block.gain3);
  const gain4 = f32x4.splat(block.gain4);
  const gain5 = f32x4.splat(block.gain5);
  const gain6 = f32x4.splat(block.gain6);
  const gain = f32x4.splat(block.gain);
  const top = f32x4.splat(RAIL);
  const bottom = f32x4.splat(-RAIL);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    let v = f32x4.splat(0);
    if (patched & (1 << MIXER_IN1)) v = f32x4.add(v, f32x4.mul(v128.load(in1 + at), gain1));
    if (patched & (1 << MIXER_IN2)) v = f32x4.add(v, f32x4.mul(v128.load(in2 + at), gain2));
    if (patched & (1 << MIXER_IN3)) v = f32x4.add(v, f32x4.mul(v128.load(in3 + at), gain3));
    if (patched & (1 << MIXER_IN4)) v = f32x4.add(v, f32x4.mul(v128.load(in4 + at), gain4));
    if (patched & (1 << MIXER_IN5)) v = f32x4.add(v, f32x4.mul(v128.load(in5 + at), gain5));
    if (patched & (1 << MIXER_IN6)) v = f32x4.add(v, f32x4.mul(v128.load(in6 + at), gain6));
    v = f32x4.min(f32x4.max(f32x4.mul(v, gain), bottom), top);
    if (sum != 0) v128.store(sum + at, v);
    if (inverted != 0) v128.store(inverted + at, f32x4.sub(f32x4.splat(0), v));
  }
  return i;
}
