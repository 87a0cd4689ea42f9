/**
 * Stereo mixer. Each input has a level, then an equal-power place between left and right, and a send after the level:
 *   left = sum of in x level x cos(x pi / 2) + returnLeft, right the same with sin, x = (1 + pan) / 2
 *   send = sum of in x level x send
 * all within the rails.
 */
import { hold, isHeld, isPatched, RAIL, rail, read, sloped, vary, write } from '../../dsp/block';
import { equalPower } from '../../dsp/equalPower';
import { STEREOMIXER_RETURNLEFT, STEREOMIXER_RETURNRIGHT, StereoMixerPorts } from '../layouts.gen';

const CHANNELS: i32 = 4;

@unmanaged
export class StereoMixer extends StereoMixerPorts {
  // gains of the four inputs, three rows in a row
  left1: f32;
  left2: f32;
  left3: f32;
  left4: f32;
  right1: f32;
  right2: f32;
  right3: f32;
  right4: f32;
  send1: f32;
  send2: f32;
  send3: f32;
  send4: f32;
}

// @ts-ignore: decorator
@inline
function leftRow(block: StereoMixer): usize {
  return changetype<usize>(block) + offsetof<StereoMixer>('left1');
}

// @ts-ignore: decorator
@inline
function rightRow(block: StereoMixer): usize {
  return changetype<usize>(block) + offsetof<StereoMixer>('right1');
}

// @ts-ignore: decorator
@inline
function sendRow(block: StereoMixer): usize {
  return changetype<usize>(block) + offsetof<StereoMixer>('send1');
}

/** Address of input k (0..3): the pointers lie in a row, in the order of the spec. */
// @ts-ignore: decorator
@inline
function inputAt(block: StereoMixer, k: i32): usize {
  return load<usize>(changetype<usize>(block) + offsetof<StereoMixer>('inputIn1') + ((<usize>k) << 2));
}

function setGains(block: StereoMixer, k: i32, level: f64, pan: f64, send: f64): void {
  const at = (<usize>k) << 2;
  const gains = equalPower(0.5 * (1 + pan));
  store<f32>(leftRow(block) + at, <f32>(level * f64x2.extract_lane(gains, 0)));
  store<f32>(rightRow(block) + at, <f32>(level * f64x2.extract_lane(gains, 1)));
  store<f32>(sendRow(block) + at, <f32>(level * send));
}

/** The gains at a frame, on a glide or not. */
function gainsAt(block: StereoMixer, i: i32): void {
  setGains(
    block,
    0,
    sloped(block, block.settingLevel1, block.slopeLevel1, i),
    sloped(block, block.settingPan1, block.slopePan1, i),
    sloped(block, block.settingSend1, block.slopeSend1, i),
  );
  setGains(
    block,
    1,
    sloped(block, block.settingLevel2, block.slopeLevel2, i),
    sloped(block, block.settingPan2, block.slopePan2, i),
    sloped(block, block.settingSend2, block.slopeSend2, i),
  );
  setGains(
    block,
    2,
    sloped(block, block.settingLevel3, block.slopeLevel3, i),
    sloped(block, block.settingPan3, block.slopePan3, i),
    sloped(block, block.settingSend3, block.slopeSend3, i),
  );
  setGains(
    block,
    3,
    sloped(block, block.settingLevel4, block.slopeLevel4, i),
    sloped(block, block.settingPan4, block.slopePan4, i),
    sloped(block, block.settingSend4, block.slopeSend4, i),
  );
}

/** [audio thread] */
export function update(block: StereoMixer): void {
  gainsAt(block, block.latch);
}

/**
 * One frame of an output, in the order of the inputs. It starts from 0, so that leaving out an unpatched input (0 V times its
 * gain) cannot change a bit.
 */
function sumAt(block: StereoMixer, row: usize, back: usize, i: i32): f32 {
  let v: f32 = 0;
  for (let k = 0; k < CHANNELS; k++) {
    if (isPatched(block, k)) v += read(inputAt(block, k), i) * load<f32>(row + ((<usize>k) << 2));
  }
  if (back != 0) v += read(back, i);
  return rail(v);
}

/** The same for a range: the output itself holds the sum while the inputs are added one after the other. */
function sum(block: StereoMixer, row: usize, back: usize, out: usize, from: i32, to: i32): void {
  const end = from + ((to - from) & ~3);
  const zero = f32x4.splat(0);
  for (let i = from; i < end; i += 4) v128.store(out + ((<usize>i) << 2), zero);
  for (let k = 0; k < CHANNELS; k++) {
    if (!isPatched(block, k)) continue;
    const input = inputAt(block, k);
    const gain = v128.load32_splat(row + ((<usize>k) << 2));
    for (let i = from; i < end; i += 4) {
      const at = (<usize>i) << 2;
      v128.store(out + at, f32x4.add(v128.load(out + at), f32x4.mul(v128.load(input + at), gain)));
    }
  }
  const top = f32x4.splat(RAIL);
  const bottom = f32x4.splat(-RAIL);
  for (let i = from; i < end; i += 4) {
    const at = (<usize>i) << 2;
    let v = v128.load(out + at);
    if (back != 0) v = f32x4.add(v, v128.load(back + at));
    v128.store(out + at, f32x4.min(f32x4.max(v, bottom), top));
  }
  for (let i = end; i < to; i++) write(out, i, sumAt(block, row, back, i));
}

function put(block: StereoMixer, row: usize, back: usize, out: usize, from: i32, to: i32): void {
  if (out == 0) return;
  let held = back == 0 || isHeld(back, to);
  for (let k = 0; k < CHANNELS; k++) held = held && isHeld(inputAt(block, k), to);
  if (held) {
    hold(out, from, to, sumAt(block, row, back, from));
    return;
  }
  vary(out, from);
  sum(block, row, back, out, from, to);
}

/** [audio thread] */
export function process(block: StereoMixer, from: i32, to: i32): void {
  const left = block.outputLeft;
  const right = block.outputRight;
  const send = block.outputSend;
  const backLeft = isPatched(block, STEREOMIXER_RETURNLEFT) ? block.inputReturnLeft : 0;
  const backRight = isPatched(block, STEREOMIXER_RETURNRIGHT) ? block.inputReturnRight : 0;
  if (block.gliding == 0) {
    put(block, leftRow(block), backLeft, left, from, to);
    put(block, rightRow(block), backRight, right, from, to);
    put(block, sendRow(block), 0, send, from, to);
    return;
  }
  if (left != 0) vary(left, from);
  if (right != 0) vary(right, from);
  if (send != 0) vary(send, from);
  for (let i = from; i < to; i++) {
    gainsAt(block, i);
    if (left != 0) write(left, i, sumAt(block, leftRow(block), backLeft, i));
    if (right != 0) write(right, i, sumAt(block, rightRow(block), backRight, i));
    if (send != 0) write(send, i, sumAt(block, sendRow(block), 0, i));
  }
  update(block); // back to the latched values, which other cuts would still have
}
