/**
 * Logic of two gates, each seen high from 1.5 V until it falls below 1.0 V, answered on the same frame; and the higher and the
 * lower of the two voltages, frame by frame. An unpatched input is 0 V.
 */
import { hold, isHeld, read, vary, write } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate } from '../../dsp/pulse';
import { LogicPorts } from '../layouts.gen';

@unmanaged
export class Logic extends LogicPorts {
  highA: i32;
  highB: i32;
}

export function update(block: Logic): void {}

/** [audio thread] */
export function process(block: Logic, from: i32, to: i32): void {
  gates(block, from, to);
  if (block.outputMaximum != 0) extreme(true, block.inputA, block.inputB, block.outputMaximum, from, to);
  if (block.outputMinimum != 0) extreme(false, block.inputA, block.inputB, block.outputMinimum, from, to);
}

function gates(block: Logic, from: i32, to: i32): void {
  let changeA = nextChange(block.inputA, from, to, block.highA);
  let changeB = nextChange(block.inputB, from, to, block.highB);
  let i = from;
  while (i < to) {
    if (changeA == i) {
      block.highA ^= 1;
      changeA = nextChange(block.inputA, i + 1, to, block.highA);
    }
    if (changeB == i) {
      block.highB ^= 1;
      changeB = nextChange(block.inputB, i + 1, to, block.highB);
    }
    const n = min<i32>(changeA, changeB);
    const a = block.highA;
    const b = block.highB;
    putGate(block.outputAnd, i, n, (a & b) != 0);
    putGate(block.outputOr, i, n, (a | b) != 0);
    putGate(block.outputXor, i, n, (a ^ b) != 0);
    putGate(block.outputNot, i, n, a == 0);
    i = n;
  }
}

// @ts-ignore: decorator
@inline
function extreme(higher: bool, a: usize, b: usize, out: usize, from: i32, to: i32): void {
  if (isHeld(a, to) && isHeld(b, to)) {
    hold(out, from, to, pick(higher, read(a, from), read(b, from)));
    return;
  }
  vary(out, from);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    const fourA = v128.load(a + at);
    const fourB = v128.load(b + at);
    v128.store(out + at, higher ? f32x4.max(fourA, fourB) : f32x4.min(fourA, fourB));
  }
  for (; i < to; i++) write(out, i, pick(higher, read(a, i), read(b, i)));
}

// @ts-ignore: decorator
@inline
function pick(higher: bool, a: f32, b: f32): f32 {
  return higher ? max<f32>(a, b) : min<f32>(a, b);
}
