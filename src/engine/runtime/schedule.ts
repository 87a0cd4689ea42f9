/** Runs the items of the schedule (AssemblyScript): blocks, cross-fades, and loops frame by frame. [audio thread] */
import { BlockHead } from '../../dsp/block';
import { bend } from './bends';
import { lookAhead, tickIndex } from './kernels.gen';
import { Fade, Item, State } from './records';

/** A loop's calls: table index and block of each. */
const MOST_CALLS: u32 = 256;
const CALLS = memory.data(256 * 8, 16);

/** Runs one block over frames from..to-1, cut wherever one of its settings bends. */
function runBlock(state: State, block: BlockHead, from: i32, to: i32, start: i64): void {
  let at = from;
  while (true) {
    if (block.nextCut <= start + <i64>at) bend(state, block, start + <i64>at, start);
    const left = block.nextCut - start;
    const end = left < <i64>to ? <i32>left : to;
    call_indirect<void>(block.processIndex, block, at, end);
    at = end;
    if (at >= to) return;
  }
}

function runFade(fade: Fade, from: i32, to: i32): void {
  const a = <usize>fade.a;
  const b = <usize>fade.b;
  const out = <usize>fade.out;
  const step: f32 = 1 / <f32>fade.frames;
  for (let i = from; i < to; i++) {
    const share = min<f32>(1, <f32>(fade.done + i - from + 1) * step);
    const offset = (<usize>i) << 2;
    const x = load<f32>(a + offset);
    store<f32>(out + offset, x + (load<f32>(b + offset) - x) * share);
  }
  fade.done += to - from;
}

export function runItem(state: State, item: Item, from: i32, to: i32, start: i64): void {
  if (item.op == 0) runBlock(state, changetype<BlockHead>(<usize>item.at), from, to, start);
  else runFade(changetype<Fade>(<usize>item.at), from, to);
}

/**
 * Fills CALLS with function and block of a loop's items, in order, and lets each block look ahead. 0 where something needs more than plain calls in this chunk: a
 * setting that bends, a cross-fade, or a loop that is too long.
 */
function gatherCalls(items: usize, count: u32, frames: i32, end: i64): usize {
  if (count > MOST_CALLS) return 0;
  let call = CALLS;
  for (let i: u32 = 0; i < count; i++, call += 8) {
    const item = changetype<Item>(items + <usize>i * offsetof<Item>());
    if (item.op != 0) return 0;
    const block = changetype<BlockHead>(<usize>item.at);
    if (block.nextCut < end) return 0;
    store<u32>(call, block.gliding == 0 ? tickIndex(block.kind) : block.processIndex);
    store<u32>(call, item.at, 4);
  }
  for (let i: u32 = 0; i < count; i++) {
    const block = changetype<BlockHead>(load<usize>(CALLS + ((<usize>i) << 3), 4));
    block.slot = <i32>i;
    lookAhead(block.kind, block, frames);
  }
  return call;
}

/** A loop's blocks run frame by frame, in order. */
export function runLoop(state: State, items: usize, count: u32, frames: i32, start: i64): void {
  const calls = gatherCalls(items, count, frames, start + <i64>frames);
  if (calls != 0) {
    for (let i = 0; i < frames; i++) {
      for (let at = CALLS; at < calls; at += 8) {
        call_indirect<void>(load<u32>(at), changetype<BlockHead>(load<usize>(at, 4)), i, i + 1);
      }
    }
    return;
  }
  const end = items + <usize>count * offsetof<Item>();
  for (let i = 0; i < frames; i++) {
    for (let at = items; at < end; at += offsetof<Item>()) {
      const item = changetype<Item>(at);
      if (item.op == 0) {
        const block = changetype<BlockHead>(<usize>item.at);
        if (block.nextCut <= start + <i64>i) bend(state, block, start + <i64>i, start);
        call_indirect<void>(block.processIndex, block, i, i + 1);
      } else runFade(changetype<Fade>(<usize>item.at), i, i + 1);
    }
  }
}
