/**
 * Manual switch. At rest the chosen input passes to the bit. A new position fades in over 1 ms in a straight line, so that sound
 * does not click: the shares go from where they stand to all for the chosen one, and add up to 1 all the while.
 */
import { hold, isHeld, read, vary, write } from '../../dsp/block';
import { frameOf } from '../../dsp/time';
import { SelectPorts } from '../layouts.gen';

const FADE_SECONDS: f64 = 0.001;
const INPUTS: i32 = 4;

@unmanaged
export class Select extends SelectPorts {
  fadeFrames: i32;

  /** 1..4; 0 before the first frame. */
  position: i32;
  /** Frames of the fade that are over; fadeFrames at rest. */
  done: i32;
  // shares of the inputs when the fade began, in a row
  share1: f32;
  share2: f32;
  share3: f32;
  share4: f32;
}

export function init(block: Select): void {
  block.fadeFrames = max<i32>(1, <i32>frameOf(FADE_SECONDS * block.sampleRate));
}

export function update(block: Select): void {}

/** Address of input k (0..3): the pointers lie in a row, in the order of the spec. */
// @ts-ignore: decorator
@inline
function inputAt(block: Select, k: i32): usize {
  return load<usize>(changetype<usize>(block) + offsetof<Select>('inputIn1') + ((<usize>k) << 2));
}

// @ts-ignore: decorator
@inline
function shareAt(block: Select, k: i32): usize {
  return changetype<usize>(block) + offsetof<Select>('share1') + ((<usize>k) << 2);
}

/** Share of input k when `done` frames of the fade are over. */
// @ts-ignore: decorator
@inline
function share(block: Select, k: i32, done: i32): f32 {
  const start = load<f32>(shareAt(block, k));
  const end: f32 = k == block.position - 1 ? 1 : 0;
  return start + (end - start) * (<f32>done / <f32>block.fadeFrames);
}

function turn(block: Select, position: i32): void {
  if (block.position == 0) {
    block.done = block.fadeFrames;
  } else {
    for (let k = 0; k < INPUTS; k++) store<f32>(shareAt(block, k), share(block, k, block.done));
    block.done = 0;
  }
  block.position = position;
}

/** [audio thread] */
export function process(block: Select, from: i32, to: i32): void {
  const position = <i32>block.settingPosition;
  if (position != block.position) turn(block, position);
  const out = block.outputOut;
  const end = min<i32>(to, from + block.fadeFrames - block.done);
  if (out != 0) {
    if (end > from) {
      vary(out, from);
      for (let i = from; i < end; i++) {
        let volts: f32 = 0;
        for (let k = 0; k < INPUTS; k++) volts += read(inputAt(block, k), i) * share(block, k, block.done + i - from);
        write(out, i, volts);
      }
    }
    if (end < to) pass(inputAt(block, position - 1), out, end, to);
  }
  block.done += end - from;
}

function pass(input: usize, out: usize, from: i32, to: i32): void {
  if (isHeld(input, to)) {
    hold(out, from, to, read(input, from));
    return;
  }
  vary(out, from);
  const at = (<usize>from) << 2;
  memory.copy(out + at, input + at, (<usize>(to - from)) << 2);
}
