/**
 * Gate delay and burst. Each rising edge starts a burst of its own: after `delay`, `repeats` gates of `length` begun `spacing`
 * apart, each on the frame nearest to its exact time from the edge; `end` fires where the last of them ends. The settings are
 * those of the edge's frame. Bursts may run over each other: the output is high while any gate is.
 *
 * Bursts under way wait in a ring in the block's memory; an edge that finds the ring full starts none.
 */
import { isPatched, sloped } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate } from '../../dsp/pulse';
import { frameOf, sooner, triggerFrames } from '../../dsp/time';
import { GATEDELAY_IN, GateDelayPorts } from '../layouts.gen';

/** Bursts under way at most (fewer where the rate is so low that the memory of the spec is smaller). */
const CAPACITY: i32 = 200;
const NEVER: i64 = i64.MAX_VALUE;

/** One burst: the frame of its edge, its times in seconds, and how far it is. */
@unmanaged
class Burst {
  /** Absolute frame of its next gate or its end; never, when it is over. */
  due: i64;
  edge: i64;
  delay: f64;
  length: f64;
  spacing: f64;
  repeats: i32;
  /** Gates begun; `repeats` + 1 when its end is over too. */
  begun: i32;
}

@unmanaged
export class GateDelay extends GateDelayPorts {
  trigger: i64;
  capacity: i32;

  high: i32;
  /** Place in the ring of the oldest burst, and how many there are. */
  oldest: i32;
  count: i32;
  /** Absolute frame of the next frame to come. */
  now: i64;
  /** Absolute frame at which the next gate or end is due. */
  due: i64;
  /** Absolute frames at which the outputs fall; low where that is past. */
  gateFall: i64;
  endFall: i64;
}

export function init(block: GateDelay): void {
  block.trigger = <i64>triggerFrames(block.sampleRate);
  block.capacity = min<i32>(CAPACITY, <i32>(((<usize>block.memoryFrames) << 2) / offsetof<Burst>()));
  block.due = NEVER;
}

export function update(block: GateDelay): void {}

// @ts-ignore: decorator
@inline
function burstAt(block: GateDelay, k: i32): Burst {
  return changetype<Burst>(block.memory + <usize>((block.oldest + k) % block.capacity) * offsetof<Burst>());
}

/** Absolute frame at which gate k of a burst begins. */
// @ts-ignore: decorator
@inline
function beginsAt(block: GateDelay, burst: Burst, k: i32): i64 {
  return burst.edge + frameOf((burst.delay + <f64>k * burst.spacing) * block.sampleRate);
}

/** Absolute frame at which gate k of a burst ends. */
// @ts-ignore: decorator
@inline
function endsAt(block: GateDelay, burst: Burst, k: i32): i64 {
  return burst.edge + frameOf((burst.delay + <f64>k * burst.spacing + burst.length) * block.sampleRate);
}

/** Absolute frame of the next thing in a burst; never, when it is over. */
function dueAt(block: GateDelay, burst: Burst): i64 {
  if (burst.begun < burst.repeats) return beginsAt(block, burst, burst.begun);
  return burst.begun == burst.repeats ? endsAt(block, burst, burst.repeats - 1) : NEVER;
}

function start(block: GateDelay, frame: i32): void {
  if (block.count == block.capacity) return;
  const burst = burstAt(block, block.count);
  block.count += 1;
  burst.edge = block.now;
  burst.delay = sloped(block, block.settingDelay, block.slopeDelay, frame);
  burst.length = sloped(block, block.settingLength, block.slopeLength, frame);
  burst.spacing = sloped(block, block.settingSpacing, block.slopeSpacing, frame);
  burst.repeats = <i32>block.settingRepeats;
  burst.begun = 0;
  burst.due = dueAt(block, burst);
  block.due = min<i64>(block.due, burst.due);
}

/** Begins and ends what is due, forgets bursts that are over and looks for the next thing. */
function play(block: GateDelay): void {
  const now = block.now;
  let next = NEVER;
  for (let k = 0; k < block.count; k++) {
    const burst = burstAt(block, k);
    while (burst.due <= now) {
      const gate = burst.begun;
      burst.begun = gate + 1;
      if (gate < burst.repeats) block.gateFall = max<i64>(block.gateFall, endsAt(block, burst, gate));
      else block.endFall = now + block.trigger;
      burst.due = dueAt(block, burst);
    }
    next = min<i64>(next, burst.due);
  }
  while (block.count > 0 && burstAt(block, 0).due == NEVER) {
    block.oldest = (block.oldest + 1) % block.capacity;
    block.count -= 1;
  }
  block.due = next;
}

/** [audio thread] */
export function process(block: GateDelay, from: i32, to: i32): void {
  const patched = isPatched(block, GATEDELAY_IN);
  if (!patched) block.high = 0;
  let changeAt = patched ? nextChange(block.inputIn, from, to, block.high) : to;
  let i = from;
  while (i < to) {
    if (changeAt == i) {
      block.high ^= 1;
      if (block.high) start(block, i);
      changeAt = nextChange(block.inputIn, i + 1, to, block.high);
    }
    const now = block.now;
    if (block.due <= now) play(block);
    let n = sooner(changeAt, block.due, now, i);
    if (block.gateFall > now) n = sooner(n, block.gateFall, now, i);
    if (block.endFall > now) n = sooner(n, block.endFall, now, i);
    putGate(block.outputOut, i, n, block.gateFall > now);
    putGate(block.outputEnd, i, n, block.endFall > now);
    block.now += n - i;
    i = n;
  }
}
