/**
 * Settings in time (AssemblyScript): events fall on their frame, glides are straight pieces latched every 16th frame
 * counted from their bend. The runtime cuts a block's range at each of these frames, so kernels hold no event code.
 */
import { BlockHead } from '../../dsp/block';
import { messageBlock } from './kernels.gen';
import { Event, Glide, LATCH_FRAMES, NEVER, State } from './records';

const POOL: i32 = 4096;
const GLIDES = memory.data(POOL * offsetof<Glide>(), 16);
const EVENTS = memory.data(POOL * offsetof<Event>(), 16);

/** Chains both pools into lists of free records. */
export function clearBends(state: State): void {
  for (let i = 0; i < POOL; i++) {
    changetype<Glide>(GLIDES + <usize>i * offsetof<Glide>()).next = i + 1 < POOL ? <u32>(GLIDES + <usize>(i + 1) * offsetof<Glide>()) : 0;
    changetype<Event>(EVENTS + <usize>i * offsetof<Event>()).next = i + 1 < POOL ? <u32>(EVENTS + <usize>(i + 1) * offsetof<Event>()) : 0;
  }
  state.freeGlides = <u32>GLIDES;
  state.freeEvents = <u32>EVENTS;
}

/** Takes a glide of this setting off the block's list, if there is one; false if not. */
function dropGlide(state: State, block: BlockHead, setting: u32): bool {
  let before: u32 = 0;
  let at = block.glides;
  while (at != 0) {
    const glide = changetype<Glide>(<usize>at);
    if (glide.setting == setting) {
      if (before == 0) block.glides = glide.next;
      else changetype<Glide>(<usize>before).next = glide.next;
      glide.next = state.freeGlides;
      state.freeGlides = at;
      block.gliding--;
      return true;
    }
    before = at;
    at = glide.next;
  }
  return false;
}

function findGlide(block: BlockHead, setting: u32): u32 {
  let at = block.glides;
  while (at != 0 && changetype<Glide>(<usize>at).setting != setting) at = changetype<Glide>(<usize>at).next;
  return at;
}

/** Starts a setting on its way to `target`; at once where there is nothing to glide or no record is free. */
function applySetting(state: State, block: BlockHead, setting: u32, frame: i64, start: f64, target: f64, glideFrames: i64): void {
  const address = changetype<usize>(block) + <usize>setting;
  let from = start;
  const old = findGlide(block, setting);
  if (isNaN(from)) {
    from = load<f64>(address);
    if (old != 0) {
      const glide = changetype<Glide>(<usize>old);
      from = frame >= glide.end ? glide.target : glide.v0 + glide.slope * <f64>(frame - glide.bend);
    }
  }
  if (dropGlide(state, block, setting)) store<f64>(address + 8, 0);
  if (glideFrames <= 0 || from == target || state.freeGlides == 0) {
    store<f64>(address, target);
    return;
  }
  const at = state.freeGlides;
  const glide = changetype<Glide>(<usize>at);
  state.freeGlides = glide.next;
  glide.next = block.glides;
  block.glides = at;
  block.gliding++;
  glide.setting = setting;
  glide.v0 = from;
  glide.slope = (target - from) / <f64>glideFrames;
  glide.target = target;
  glide.bend = frame;
  glide.end = frame + glideFrames;
  store<f64>(address, from);
  store<f64>(address + 8, glide.slope);
}

/**
 * Everything of this block that is due at `frame`: events, ends of glides, latching of sloped settings.
 * Afterwards `nextCut` says when to come back.
 */
export function bend(state: State, block: BlockHead, frame: i64, chunkStart: i64): void {
  while (block.events != 0) {
    const at = block.events;
    const event = changetype<Event>(<usize>at);
    if (event.frame > frame) break;
    if (event.message != 0) messageBlock(block.kind, block, event.code, event.from, event.target);
    else applySetting(state, block, event.setting, frame, event.from, event.target, event.glide);
    block.events = event.next;
    event.next = state.freeEvents;
    state.freeEvents = at;
  }
  let cut = NEVER;
  let at = block.glides;
  while (at != 0) {
    const glide = changetype<Glide>(<usize>at);
    const next = glide.next;
    const address = changetype<usize>(block) + <usize>glide.setting;
    if (frame >= glide.end) {
      store<f64>(address, glide.target);
      store<f64>(address + 8, 0);
      dropGlide(state, block, glide.setting);
    } else {
      store<f64>(address, glide.v0 + glide.slope * <f64>(frame - glide.bend));
      cut = min(cut, min(glide.end, frame + LATCH_FRAMES - ((frame - glide.bend) & (LATCH_FRAMES - 1))));
    }
    at = next;
  }
  block.latch = <i32>(frame - chunkStart);
  if (block.events != 0) cut = min(cut, changetype<Event>(<usize>block.events).frame);
  block.nextCut = cut;
  call_indirect<void>(block.updateIndex, block);
}

/** Queues an event in order of frames (first come, first served on one frame). False when no record is free. */
function queue(state: State, block: BlockHead, event: Event): void {
  let before: u32 = 0;
  let at = block.events;
  while (at != 0 && changetype<Event>(<usize>at).frame <= event.frame) {
    before = at;
    at = changetype<Event>(<usize>at).next;
  }
  event.next = at;
  const address = <u32>changetype<usize>(event);
  if (before == 0) block.events = address;
  else changetype<Event>(<usize>before).next = address;
  block.nextCut = min(block.nextCut, event.frame);
}

function take(state: State): u32 {
  const at = state.freeEvents;
  if (at != 0) state.freeEvents = changetype<Event>(<usize>at).next;
  return at;
}

export function queueSetting(state: State, block: BlockHead, setting: u32, frame: i64, from: f64, target: f64, glide: i64): bool {
  const at = take(state);
  if (at == 0) return false;
  const event = changetype<Event>(<usize>at);
  event.message = 0;
  event.setting = setting;
  event.frame = max(frame, state.frame);
  event.from = from;
  event.target = target;
  event.glide = glide;
  queue(state, block, event);
  return true;
}

export function queueMessage(state: State, block: BlockHead, frame: i64, code: i32, a: f64, b: f64): bool {
  const at = take(state);
  if (at == 0) return false;
  const event = changetype<Event>(<usize>at);
  event.message = 1;
  event.code = code;
  event.frame = max(frame, state.frame);
  event.from = a;
  event.target = b;
  queue(state, block, event);
  return true;
}

/** Where the setting is or is going. */
export function settingTarget(block: BlockHead, setting: u32): f64 {
  const at = findGlide(block, setting);
  return at != 0 ? changetype<Glide>(<usize>at).target : load<f64>(changetype<usize>(block) + <usize>setting);
}
