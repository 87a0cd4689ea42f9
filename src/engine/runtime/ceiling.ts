/**
 * The ceiling (AssemblyScript): a stereo-linked look-ahead limiter that keeps the true peak at or below -1 dBTP.
 *
 * peak between the samples -> largest over the look-ahead -> hold and release -> gain -> three moving averages -> delayed input x gain.
 * The averages' weights are positive and span less than the look-ahead, so the gain has arrived before the peak does.
 * While no peak lies above the ceiling the gain is exactly 1 and the output is the input, delayed, bit for bit:
 * gain reductions are whole multiples of 2^-30, so the running sums of the averages are exact and return to exactly 0.
 */
import { copySignal } from '../../dsp/block';
import { prepareTruePeak, REACH, raisePeaks } from './truePeak';

/** -1 dBTP at full scale 1. */
const CEILING: f32 = 0.8912509381337456;
/** Interpolated points below this share of the ceiling cannot belong to a peak above it. */
const FLOOR: f32 = CEILING * 0.9;
/**
 * A limited peak is set a little under the ceiling: 0.02 dB for the error of the estimate, growing to 0.2 dB for peaks
 * 1 dB above it and more, because meters with short filters read dense, bright sound up to 0.2 dB higher than it is.
 */
const MARGIN: f64 = 0.002;
const MARGIN_SLOPE: f64 = 0.17;
const MOST_MARGIN: f64 = 0.0228;
/** Frames by which the gain is early and late around a peak. */
const GUARD: i32 = 4;
/** Length of each moving average; three of them are a bell of 1.5 ms. */
const AVERAGE_SECONDS: f64 = 0.0005;
const HOLD_SECONDS: f64 = 0.01;
/** A peak of this share of the held one prolongs the hold, so that a steady tone is not modulated by its own crests. */
const ALIKE: f64 = 0.99;
/** The held peak falls by 8.7 dB in this time. */
const RELEASE_SECONDS: f64 = 0.08;
const SWITCH_SECONDS: f64 = 0.005;
/** Gain reductions are multiples of 1 / GRID. */
const GRID: f64 = 1073741824;
/** Far beyond what any patch can reach; keeps the sums finite. */
const LARGEST: f32 = 1048576;

const PART: i32 = 128;
/** A count of frames that is longer than any delay. */
const LONG: i32 = 1048576;
const MOST_AVERAGE: i32 = 96;
const LEAST_DELAY: i32 = 68;
const QUEUE: i32 = 512;

/** A channel's buffer has 464 frames: the longest delay (321), one part, and what wide reads touch behind it. */
const LEFT_AT: usize = 96;
const RIGHT_AT: usize = 1952; // LEFT_AT + 464 x 4
const AVERAGES_AT: usize = 3808; // RIGHT_AT + 464 x 4
const AVERAGE_BYTES: usize = 768; // MOST_AVERAGE x 8
const QUEUE_AT: usize = 6112; // AVERAGES_AT + 3 x AVERAGE_BYTES; then QUEUE peaks and QUEUE frames
/** Bytes of state, all zero at the start. */
export const CEILING_BYTES: u32 = 10208; // QUEUE_AT + QUEUE x 8

const PEAKS = memory.data(512, 16); // PART f32

let delay: i32 = LEAST_DELAY;
let average: i32 = 24;
let window: i32 = 64;
let hold: i32 = 480;
let release: f64 = 0;
let switchFrames: i32 = 240;
let average3: f64 = 0;

@unmanaged
class CeilingState {
  first: f64;
  second: f64;
  third: f64;
  envelope: f64;
  now: i32;
  queueHead: i32;
  queueSize: i32;
  held: i32;
  place: i32;
  /** 0 = ceiling on, switchFrames = off. */
  off: i32;
  begun: i32;
  /** For how many frames both channels have been the same. */
  same: i32;
}

/** Times and tables for an output rate in Hz. */
export function prepareCeiling(rate: f64): void {
  prepareTruePeak();
  average = max(2, min(MOST_AVERAGE, <i32>Math.round(rate * AVERAGE_SECONDS)));
  delay = max(LEAST_DELAY, REACH + 3 * (average - 1) + GUARD);
  window = delay - REACH + 1 + GUARD;
  hold = <i32>Math.round(rate * HOLD_SECONDS);
  release = Math.exp(-1 / (rate * RELEASE_SECONDS));
  switchFrames = max(1, <i32>Math.round(rate * SWITCH_SECONDS));
  average3 = 1 / <f64>(average * average * average);
}

/** Delay in output frames, with the ceiling on or off. */
export function ceilingDelay(): i32 {
  return delay;
}

/** Copies frames into a channel's buffer; what is not finite becomes 0. */
function take(input: usize, buffer: usize, frames: i32): void {
  const least = f32x4.splat(-LARGEST);
  const most = f32x4.splat(LARGEST);
  const endless = f32x4.splat(Infinity);
  let i = 0;
  for (; i + 4 <= frames; i += 4) {
    const at = (<usize>i) << 2;
    const x = v128.load(input + at);
    const finite = v128.and(x, f32x4.lt(f32x4.abs(x), endless));
    v128.store(buffer + at, f32x4.pmax(f32x4.pmin(finite, most), least));
  }
  for (; i < frames; i++) {
    const at = (<usize>i) << 2;
    const x = load<f32>(input + at);
    store<f32>(buffer + at, abs(x) < Infinity ? max<f32>(min<f32>(x, LARGEST), -LARGEST) : 0);
  }
}

/** The largest of the last `window` peaks: a queue of falling peaks, each with its frame. */
function windowPeak(state: CeilingState, peak: f32): f32 {
  const queue = changetype<usize>(state) + QUEUE_AT;
  const frames = queue + ((<usize>QUEUE) << 2);
  let head = state.queueHead;
  let size = state.queueSize;
  if (peak > CEILING) {
    while (size > 0 && load<f32>(queue + ((<usize>((head + size - 1) & (QUEUE - 1))) << 2)) <= peak) size--;
    const at = (<usize>((head + size) & (QUEUE - 1))) << 2;
    store<f32>(queue + at, peak);
    store<i32>(frames + at, state.now);
    size++;
  }
  if (size > 0 && state.now - load<i32>(frames + ((<usize>head) << 2)) > window) {
    head = (head + 1) & (QUEUE - 1);
    size--;
  }
  state.queueHead = head;
  state.queueSize = size;
  return size > 0 ? load<f32>(queue + ((<usize>head) << 2)) : 0;
}

/** Replaces the oldest value of a moving average's ring; returns newest - oldest. */
// @ts-ignore: decorator
@inline
function exchange(state: CeilingState, ring: usize, value: f64): f64 {
  const at = changetype<usize>(state) + AVERAGES_AT + ring * AVERAGE_BYTES + ((<usize>state.place) << 3);
  const oldest = load<f64>(at);
  store<f64>(at, value);
  return value - oldest;
}

/** Gain reduction (0 = none) for the frame that leaves the delay now. */
function reduction(state: CeilingState, peak: f32): f64 {
  state.now++;
  const highest = <f64>windowPeak(state, peak);
  if (highest > 0 && highest >= state.envelope * ALIKE) {
    state.envelope = max(highest, state.envelope);
    state.held = hold;
  } else if (state.held > 0) state.held--;
  else state.envelope = max(highest, state.envelope * release);
  if (state.envelope <= <f64>CEILING) state.envelope = 0;
  let wanted: f64 = 0;
  if (state.envelope > 0) {
    const share = <f64>CEILING / state.envelope;
    const margin = min(MOST_MARGIN, MARGIN + MARGIN_SLOPE * (1 / share - 1));
    wanted = Math.ceil((1 - share * (1 - margin)) * GRID) / GRID;
  }
  state.first += exchange(state, 0, wanted);
  state.second += exchange(state, 1, state.first);
  state.third += exchange(state, 2, state.second);
  state.place = state.place + 1 == average ? 0 : state.place + 1;
  return state.third * average3;
}

// @ts-ignore: decorator
@inline
function resting(state: CeilingState): bool {
  return state.queueSize == 0 && state.envelope == 0 && state.first == 0 && state.second == 0 && state.third == 0;
}

/** Do both channels hold the same bits? */
function areAlike(left: usize, right: usize, frames: i32): bool {
  let differ = i32x4.splat(0);
  let i = 0;
  for (; i + 4 <= frames; i += 4) {
    const at = (<usize>i) << 2;
    differ = v128.or(differ, v128.xor(v128.load(left + at), v128.load(right + at)));
  }
  let rest: u32 = 0;
  for (; i < frames; i++) rest |= load<u32>(left + ((<usize>i) << 2)) ^ load<u32>(right + ((<usize>i) << 2));
  return !v128.any_true(differ) && rest == 0;
}

/** Fills PEAKS for the frames that leave the delay next; whether there is any. `right` is 0 where it is the same as `left`. */
function watch(left: usize, right: usize, frames: i32): bool {
  const seen = (<usize>(delay - REACH)) << 2;
  memory.fill(PEAKS, 0, (<usize>frames) << 2);
  let found = raisePeaks(left + seen, frames, FLOOR, PEAKS);
  if (right != 0) found = raisePeaks(right + seen, frames, FLOOR, PEAKS) || found;
  return found;
}

/** At most PART frames. While both channels have been the same for the whole delay, only the left one is worked on. */
function runPart(state: CeilingState, left: usize, right: usize, frames: i32, target: i32): void {
  const bytes = (<usize>frames) << 2;
  const delayBytes = (<usize>delay) << 2;
  const leftBuffer = changetype<usize>(state) + LEFT_AT;
  const rightBuffer = changetype<usize>(state) + RIGHT_AT;
  const alike = areAlike(left, right, frames);
  const twins = state.same >= delay && alike;
  if (state.same >= delay && !alike) memory.copy(rightBuffer, leftBuffer, delayBytes);
  state.same = alike ? min(state.same, LONG) + frames : 0;

  take(left, leftBuffer + delayBytes, frames);
  if (!twins) take(right, rightBuffer + delayBytes, frames);
  const rests = resting(state);
  // While it is wholly off nothing is watched: being switched on takes longer than the delay, so no peak slips through.
  const idle = rests && target > 0 && state.off == target;
  const found = !idle && watch(leftBuffer, twins ? 0 : rightBuffer, frames);
  if (!found && rests) {
    copySignal(leftBuffer, left, frames);
    if (!twins) copySignal(rightBuffer, right, frames);
    state.now += frames;
    state.held = 0;
    state.off = target == 0 ? max(0, state.off - frames) : min(target, state.off + frames);
  } else {
    for (let i = 0; i < frames; i++) {
      const at = (<usize>i) << 2;
      const wanted = reduction(state, load<f32>(PEAKS + at));
      if (state.off < target) state.off++;
      else if (state.off > target) state.off--;
      const gain = <f32>(1 - wanted * (1 - <f64>state.off / <f64>switchFrames));
      store<f32>(left + at, load<f32>(leftBuffer + at) * gain);
      if (!twins) store<f32>(right + at, load<f32>(rightBuffer + at) * gain);
    }
  }
  if (twins) copySignal(left, right, frames);
  else copySignal(rightBuffer + bytes, rightBuffer, delay);
  copySignal(leftBuffer + bytes, leftBuffer, delay);
}

function run(address: usize, left: usize, right: usize, frames: i32, target: i32): void {
  const state = changetype<CeilingState>(address);
  if (state.begun == 0) {
    state.begun = 1;
    state.off = target;
    state.same = LONG;
  }
  for (let done = 0; done < frames; done += PART) {
    const offset = (<usize>done) << 2;
    runPart(state, left + offset, right + offset, min(PART, frames - done), target);
  }
}

/** Delays both channels and keeps their true peak at or below -1 dBTP, in place; f32, full scale 1, any number of frames. [audio thread] */
export function limit(state: usize, left: usize, right: usize, frames: i32): void {
  run(state, left, right, frames, 0);
}

/** The same delay with the ceiling off, when nothing is watched; switching takes 5 ms, so that the gain does not jump. [audio thread] */
export function delayOnly(state: usize, left: usize, right: usize, frames: i32): void {
  run(state, left, right, frames, switchFrames);
}
