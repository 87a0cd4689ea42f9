/**
 * The runtime (AssemblyScript): runs a plan without a call back into JavaScript.
 * The host writes a plan's image into memory, calls `activate`, then `render` again and again.
 * Nothing here allocates, throws or grows memory. [audio thread]
 */
import { BlockHead, CHUNK, copySignal } from '../../dsp/block';
import { liveInput } from '../../dsp/liveInput';
import { clearBends, queueMessage, queueSetting, settingTarget } from './bends';
import { CEILING_BYTES, ceilingDelay, delayOnly, limit, prepareCeiling } from './ceiling';
import { decimate, decimatorBytes, decimatorDelay, prepareDecimator } from './decimator';
import { initBlock, KINDS, portBytes, prepareKernels, processIndex, structBytes, updateIndex } from './kernels.gen';
import { Bus, Carry, Constant, Item, NEVER, Plan, SIGNAL_BYTES, State, Tap, Target } from './records';
import { runItem, runLoop } from './schedule';

export * from './hooks';
export { decimatorBytes, liveInput, portBytes, structBytes };

const MAX_QUALITY: i32 = 8;
/** 10 V are digital full scale. */
const FULL_SCALE: f32 = 0.1;

const STATE = memory.data(offsetof<State>(), 16);
const MIX_LEFT = memory.data(CHUNK * 4, 16);
const MIX_RIGHT = memory.data(CHUNK * 4, 16);
const OUT_LEFT = memory.data(CHUNK * 4, 16);
const OUT_RIGHT = memory.data(CHUNK * 4, 16);
/** Most frames that `renderMany` renders at once. */
const MANY: i32 = 2048;
const MANY_LEFT = memory.data(MANY * 4, 16);
const MANY_RIGHT = memory.data(MANY * 4, 16);
const CEILING = memory.data(CEILING_BYTES, 16);
const DECIMATOR_LEFT = memory.data(16384, 16);
const DECIMATOR_RIGHT = memory.data(16384, 16);

// @ts-ignore: decorator
@inline
function theState(): State {
  return changetype<State>(STATE);
}

/** First address that plans may use. */
export function arenaStart(): usize {
  return (__heap_base + 63) & ~63;
}

export function kinds(): u32 {
  return KINDS;
}

/** Start of the memory that a snapshot must hold. */
export function stateStart(): usize {
  return STATE;
}

export function leftOut(): usize {
  return OUT_LEFT;
}

export function rightOut(): usize {
  return OUT_RIGHT;
}

/** Where `renderMany` puts its frames; each side has room for `manyFrames`. */
export function manyLeft(): usize {
  return MANY_LEFT;
}

export function manyRight(): usize {
  return MANY_RIGHT;
}

export function manyFrames(): i32 {
  return MANY;
}

/** Output rate in Hz; quality 1, 2, 4 or 8. Called once, before the first plan. */
export function begin(rate: f64, quality: i32): void {
  const state = theState();
  state.plan = 0;
  state.quality = min(quality, MAX_QUALITY);
  state.rate = rate;
  state.frame = 0;
  state.faultBlock = -1;
  state.faultCount = 0;
  state.gain = 1;
  state.gainStep = 0;
  state.gainTarget = 1;
  state.gainFrames = 0;
  clearBends(state);
  prepareDecimator(rate, quality);
  prepareCeiling(rate);
  prepareKernels(rate * <f64>quality, quality);
}

/** Delay of decimator and ceiling in output frames. */
export function delayFrames(): i32 {
  return (theState().quality > 1 ? decimatorDelay() : 0) + ceilingDelay();
}

/** Delay of taps in output frames: the decimator's alone. */
export function tapDelayFrames(): i32 {
  return theState().quality > 1 ? decimatorDelay() : 0;
}

function blockAt(plan: Plan, index: u32): BlockHead {
  return changetype<BlockHead>(<usize>load<u32>(<usize>plan.blocks + ((<usize>index) << 2)));
}

function carry(to: BlockHead, from: BlockHead, entry: Carry): void {
  const head: usize = offsetof<BlockHead>();
  const a = changetype<usize>(to);
  const b = changetype<usize>(from);
  memory.copy(a + head, b + head, <usize>entry.settingsEnd - head);
  memory.copy(a + <usize>entry.stateStart, b + <usize>entry.stateStart, <usize>(to.bytes - entry.stateStart));
  memory.copy(to.memory, from.memory, <usize>entry.memoryBytes);
  to.latch = from.latch;
  to.gliding = from.gliding;
  to.nextCut = from.nextCut;
  to.glides = from.glides;
  to.events = from.events;
}

/**
 * Makes the plan whose image lies at `address` the running one. Blocks named in its carry list keep all state,
 * all others start afresh. Called between two chunks.
 */
export function activate(address: usize): void {
  const state = theState();
  const plan = changetype<Plan>(address);
  memory.fill(address + <usize>plan.imageBytes, 0, <usize>(plan.totalBytes - plan.imageBytes));
  for (let i: u32 = 0; i < plan.constantCount; i++) {
    const constant = changetype<Constant>(<usize>plan.constants + <usize>i * offsetof<Constant>());
    const signal = <usize>constant.signal;
    for (let k = 0; k < CHUNK; k++) store<f32>(signal + ((<usize>k) << 2), constant.volts);
    store<f32>(signal - 4, constant.volts);
    store<i32>(signal - 16, i32.MAX_VALUE);
  }
  for (let i: u32 = 0; i < plan.blockCount; i++) {
    const block = blockAt(plan, i);
    block.processIndex = processIndex(block.kind);
    block.updateIndex = updateIndex(block.kind);
    block.nextCut = NEVER;
    block.glides = 0;
    block.events = 0;
    block.gliding = 0;
    initBlock(block.kind, block);
  }
  for (let i: u32 = 0; i < plan.carryCount; i++) {
    const entry = changetype<Carry>(<usize>plan.carries + <usize>i * offsetof<Carry>());
    carry(changetype<BlockHead>(<usize>entry.to), changetype<BlockHead>(<usize>entry.from), entry);
  }
  for (let i: u32 = 0; i < plan.carriedSignalCount; i++) {
    const at = <usize>plan.carriedSignals + ((<usize>i) << 3);
    store<f32>(<usize>load<u32>(at) - 4, load<f32>(<usize>load<u32>(at + 4) - 4));
  }
  state.plan = <u32>address;
  for (let i: u32 = 0; i < plan.targetCount; i++) {
    const target = changetype<Target>(<usize>plan.targets + <usize>i * offsetof<Target>());
    const block = changetype<BlockHead>(<usize>target.block);
    if (settingTarget(block, target.setting) != target.value) {
      queueSetting(state, block, target.setting, state.frame, NaN, target.value, target.glide);
    }
  }
  for (let i: u32 = 0; i < plan.blockCount; i++) {
    const block = blockAt(plan, i);
    call_indirect<void>(block.updateIndex, block);
  }
}

/** Queues a setting's way to `target`, from `from` (NaN: where it stands), over `glide` frames. False: try again later. */
export function setSetting(block: usize, setting: u32, frame: f64, from: f64, target: f64, glide: f64): bool {
  return queueSetting(theState(), changetype<BlockHead>(block), setting, <i64>frame, from, target, <i64>glide);
}

/** Queues a message (note, bend, wheel) for a block. */
export function sendMessage(block: usize, frame: f64, code: i32, a: f64, b: f64): bool {
  return queueMessage(theState(), changetype<BlockHead>(block), <i64>frame, code, a, b);
}

/** Moves the volume behind all output blocks to `gain` over `frames` output frames. */
export function setGain(gain: f64, frames: i32): void {
  const state = theState();
  if (frames <= 0) {
    state.gain = gain;
    state.gainFrames = 0;
  } else {
    state.gainStep = (gain - state.gain) / <f64>frames;
    state.gainFrames = frames;
  }
  state.gainTarget = gain;
}

export function frame(): f64 {
  return <f64>theState().frame;
}

/** Index of the block that last turned non-finite, or -1; reading it clears it. */
export function takeFault(): i32 {
  const state = theState();
  const block = state.faultBlock;
  state.faultBlock = -1;
  return block;
}

/** Zeroes what a faulty block put out, starts it afresh and remembers it for the page. */
function mendFaults(state: State, plan: Plan): void {
  for (let s: u32 = 0; s < plan.signalCount; s++) {
    const signal = <usize>plan.signals + <usize>s * SIGNAL_BYTES + 32;
    let bad = false;
    for (let i = 0; i < CHUNK; i++) {
      const x = load<f32>(signal + ((<usize>i) << 2));
      if (!(x - x == 0)) {
        store<f32>(signal + ((<usize>i) << 2), 0);
        bad = true;
      }
    }
    if (!bad) continue;
    memory.fill(signal, 0, CHUNK * 4);
    store<i32>(signal - 16, 0);
    const index = load<u32>(<usize>plan.owners + ((<usize>s) << 2));
    if (index == 0xffffffff) continue;
    const block = blockAt(plan, index);
    const ports = portBytes(block.kind);
    memory.fill(changetype<usize>(block) + <usize>ports, 0, <usize>(block.bytes - ports));
    if (block.memoryRate == 0) memory.fill(block.memory, 0, (<usize>block.memoryFrames) << 2);
    initBlock(block.kind, block);
    call_indirect<void>(block.updateIndex, block);
    if (state.faultBlock < 0) state.faultBlock = <i32>index;
    state.faultCount++;
  }
}

/** True when every signal's last frame is finite. */
function allFinite(plan: Plan, frames: i32): bool {
  let sum: f32 = 0;
  let at = <usize>plan.signals + 32 + ((<usize>(frames - 1)) << 2);
  for (let i: u32 = 0; i < plan.signalCount; i++, at += SIGNAL_BYTES) sum += load<f32>(at) * 0;
  return sum == 0;
}

/** Runs the whole schedule over up to 128 engine frames. */
function runChunk(state: State, plan: Plan, frames: i32): void {
  const start = state.frame;
  let at = <usize>plan.items;
  const end = at + <usize>plan.itemCount * offsetof<Item>();
  while (at < end) {
    const item = changetype<Item>(at);
    at += offsetof<Item>();
    if (item.op == 1) {
      runLoop(state, at, item.count, frames, start);
      at += <usize>item.count * offsetof<Item>();
    } else runItem(state, item, 0, frames, start);
  }
  if (!allFinite(plan, frames)) mendFaults(state, plan);
  for (let i: u32 = 0; i < plan.delayedCount; i++) {
    const signal = <usize>load<u32>(<usize>plan.delayed + ((<usize>i) << 2));
    store<f32>(signal - 4, load<f32>(signal + ((<usize>(frames - 1)) << 2)));
  }
  for (let i: u32 = 0; i < plan.blockCount; i++) {
    const block = blockAt(plan, i);
    if (block.gliding > 0) block.latch -= frames;
  }
  state.frame = start + <i64>frames;
}

/** Adds a bus's signal, volts to full scale, to a mix signal that holds 0 or the buses before; up to 128 frames. */
function mixSide(mix: usize, signal: usize, frames: i32, first: bool): void {
  const scale = f32x4.splat(FULL_SCALE);
  const end = (<usize>frames) << 2;
  for (let offset: usize = 0; offset < end; offset += 16) {
    const share = f32x4.mul(v128.load(signal + offset), scale);
    v128.store(mix + offset, first ? share : f32x4.add(v128.load(mix + offset), share));
  }
}

/** Sums all output blocks into two signals of 128 frames; what lies beyond `frames` is not to be read. */
function mixBuses(plan: Plan, left: usize, right: usize, frames: i32): void {
  if (plan.busCount == 0) {
    memory.fill(left, 0, CHUNK * 4);
    memory.fill(right, 0, CHUNK * 4);
  }
  for (let i: u32 = 0; i < plan.busCount; i++) {
    const bus = changetype<Bus>(<usize>plan.buses + <usize>i * offsetof<Bus>());
    mixSide(left, <usize>bus.left, frames, i == 0);
    mixSide(right, <usize>bus.right, frames, i == 0);
  }
}

function recordTap(state: State, tap: Tap, frames: i32, written: i32): void {
  const signal = <usize>tap.signal;
  let lowest = tap.lowest;
  let highest = tap.highest;
  for (let i = 0; i < frames; i++) {
    const x = load<f32>(signal + ((<usize>i) << 2));
    lowest = min(lowest, x);
    highest = max(highest, x);
  }
  tap.lowest = lowest;
  tap.highest = highest;
  tap.last = load<f32>(signal + ((<usize>(frames - 1)) << 2));
  if (tap.out == 0) return;
  const out = <usize>tap.out + ((<usize>written) << 2);
  if (state.quality == 1) memory.copy(out, signal, (<usize>frames) << 2);
  else decimate(<usize>tap.state, signal, frames, out);
}

/** Applies the moving volume to the output signals. */
function applyGain(state: State, frames: i32): void {
  if (state.gainFrames == 0 && state.gain == 1) return;
  for (let i = 0; i < frames; i++) {
    if (state.gainFrames > 0) {
      state.gainFrames--;
      state.gain = state.gainFrames == 0 ? state.gainTarget : state.gain + state.gainStep;
    }
    const gain = <f32>state.gain;
    const offset = (<usize>i) << 2;
    store<f32>(OUT_LEFT + offset, load<f32>(OUT_LEFT + offset) * gain);
    store<f32>(OUT_RIGHT + offset, load<f32>(OUT_RIGHT + offset) * gain);
  }
}

/** Is the ceiling on? One output block that asks for it is enough. */
function ceilingOn(plan: Plan): bool {
  for (let i: u32 = 0; i < plan.busCount; i++) {
    const bus = changetype<Bus>(<usize>plan.buses + <usize>i * offsetof<Bus>());
    if (load<f64>(<usize>bus.ceiling) != 0) return true;
  }
  return false;
}

/** Starts the taps' peaks anew. */
export function clearPeaks(): void {
  const plan = changetype<Plan>(<usize>theState().plan);
  if (theState().plan == 0) return;
  for (let i: u32 = 0; i < plan.tapCount; i++) {
    const tap = changetype<Tap>(<usize>plan.taps + <usize>i * offsetof<Tap>());
    tap.lowest = f32.MAX_VALUE;
    tap.highest = -f32.MAX_VALUE;
  }
}

/** Renders 1..128 output frames into the output signals (full scale 1) and the taps (volts). */
export function render(frames: i32): void {
  const state = theState();
  if (state.plan == 0) {
    memory.fill(OUT_LEFT, 0, CHUNK * 4);
    memory.fill(OUT_RIGHT, 0, CHUNK * 4);
    return;
  }
  const plan = changetype<Plan>(<usize>state.plan);
  let left = frames * state.quality;
  let written = 0;
  while (left > 0) {
    const count = min(CHUNK, left);
    runChunk(state, plan, count);
    for (let i: u32 = 0; i < plan.tapCount; i++) {
      recordTap(state, changetype<Tap>(<usize>plan.taps + <usize>i * offsetof<Tap>()), count, written);
    }
    if (state.quality == 1) mixBuses(plan, OUT_LEFT, OUT_RIGHT, count);
    else {
      mixBuses(plan, MIX_LEFT, MIX_RIGHT, count);
      const offset = (<usize>written) << 2;
      decimate(DECIMATOR_RIGHT, MIX_RIGHT, count, OUT_RIGHT + offset);
      written += decimate(DECIMATOR_LEFT, MIX_LEFT, count, OUT_LEFT + offset);
    }
    left -= count;
  }
  applyGain(state, frames);
  if (ceilingOn(plan)) limit(CEILING, OUT_LEFT, OUT_RIGHT, frames);
  else delayOnly(CEILING, OUT_LEFT, OUT_RIGHT, frames);
}

/**
 * Renders up to `frames` output frames (at most `manyFrames`) in one go, for hosts that need no taps frame by frame.
 * Stops behind a part in which a block was muted, so that each faulty block is named. Returns how many frames it rendered.
 */
export function renderMany(frames: i32): i32 {
  const state = theState();
  const wanted = min(frames, MANY);
  let done = 0;
  do {
    const count = min(CHUNK, wanted - done);
    render(count);
    const at = (<usize>done) << 2;
    copySignal(OUT_LEFT, MANY_LEFT + at, count);
    copySignal(OUT_RIGHT, MANY_RIGHT + at, count);
    done += count;
  } while (done < wanted && state.faultBlock < 0);
  return done;
}

/** Runs 1..128 engine frames of the plan without mixing, decimating or limiting (tests of single blocks). */
export function runFrames(frames: i32): void {
  const state = theState();
  runChunk(state, changetype<Plan>(<usize>state.plan), frames);
}
