/**
 * Oscillator: a 64-bit phase (one cycle = 2^64, so that sums are exact and cuts cannot matter), plain waves taken from it
 * (phaseWaves.ts), and band-limited edges added where a wave jumps or turns (bandLimitedEdge.ts).
 *
 * Every edge lies at its own instant between two frames. There the frequency is taken to move in a straight line (the phase is its
 * trapezoidal sum), and so does the width; sync falls where the straight line between two frames of its input crosses 0 V.
 * No output looks ahead. Saw, triangle and pulse begin to answer on the first frame after an edge and are 3 engine frames late on
 * the average (EDGE_DELAY); the sine is not late at all, or alike while sync is patched.
 */
import { addRamp, addStep, closeTail, EDGE_DELAY, EDGE_FRAMES, EDGE_TABLE_BYTES, edgeFrames, fillEdgeTable, openTail } from '../../dsp/bandLimitedEdge';
import { CHUNK, isHeld, isPatched, RAIL, read } from '../../dsp/block';
import { exp2, exp2Pair } from '../../dsp/exp2';
import { cyclesToStart, framesToStart, passesStart, passing, PER_PHASE, phaseOf, restOfFrame, speedAt } from '../../dsp/phasePath';
import { plainPulse, plainSaw, plainSine, plainTriangle } from '../../dsp/phaseWaves';
import { sine } from '../../dsp/sine';
import { OSCILLATOR_SYNC, OscillatorPorts } from '../layouts.gen';

const TABLE = memory.data(EDGE_TABLE_BYTES, 16);
/** Frames that an edge reaches: set by `prepare`. */
let reach: i32 = EDGE_FRAMES;

// Scratch of one call, by frame from its first: upper half of the phase and of the width (behind four frames of the past), and the
// frequency in cycles per frame before the direction.
const PHASE = memory.data((CHUNK + 8) * 4, 16) + 16;
const WIDTH = memory.data((CHUNK + 8) * 4, 16) + 16;
const FREQUENCY = memory.data((CHUNK + 4) * 8, 16);
// What edges add, by frame from the first of the call; all zero between calls.
const EDGE_BYTES: i32 = (CHUNK + EDGE_FRAMES + 4) * 4;
const SAW_EDGES = memory.data(EDGE_BYTES, 16);
const PULSE_EDGES = memory.data(EDGE_BYTES, 16);
const TRIANGLE_EDGES = memory.data(EDGE_BYTES, 16);
const SINE_EDGES = memory.data(EDGE_BYTES, 16);
// First frame of the call from which on edges add nothing.
let sawBusy: i32 = 0;
let pulseBusy: i32 = 0;
let triangleBusy: i32 = 0;
let sineBusy: i32 = 0;

const QUARTER: u64 = 1 << 62;
const HALF: u64 = 1 << 63;

@unmanaged
export class Oscillator extends OscillatorPorts {
  /** Cycles per frame at 0 octaves, octaves from the settings, highest cycles per frame. */
  base: f64;
  octaves: f64;
  limit: f64;
  /** Share of the frequency, and of the cycle, per volt. */
  linear: f64;
  widthPerVolt: f64;
  /** As they were on the last frame: phase, cycles per frame (with the direction), width (share of 2^64), sync input. */
  phase: u64;
  rate: f64;
  width: u64;
  syncVolts: f32;
  /** 0 before the first frame. */
  started: i32;
  /** +1 or -1: turned by soft sync. */
  direction: f64;
  /** The last exponent and its power of two. */
  exponent: f64;
  power: f64;
  /** Upper halves of phase and width on the last four frames. */
  pastPhase: v128;
  pastWidth: v128;
  /** How many frames of the tails below are in use, and what past edges add to coming frames. */
  sawLeft: i32;
  pulseLeft: i32;
  triangleLeft: i32;
  sineLeft: i32;
  saw0: v128; saw1: v128; saw2: v128; saw3: v128;
  pulse0: v128; pulse1: v128; pulse2: v128; pulse3: v128;
  triangle0: v128; triangle1: v128; triangle2: v128; triangle3: v128;
  sine0: v128; sine1: v128; sine2: v128; sine3: v128;
}

/** The edge table for this engine rate. */
export function prepare(sampleRate: f64, quality: i32): void {
  reach = edgeFrames(sampleRate);
  fillEdgeTable(TABLE, sampleRate);
}

export function init(block: Oscillator): void {
  block.direction = 1;
  block.power = 1;
}

/** [audio thread] */
export function update(block: Oscillator): void {
  block.base = block.settingTune / block.sampleRate;
  block.octaves = block.settingOctave + block.settingSemitone / 12 + block.settingFine / 1200;
  block.limit = min<f64>(20000, 0.45 * block.sampleRate) / block.sampleRate;
  block.linear = 0.8 * block.settingFmLinAmount;
  block.widthPerVolt = block.settingWidthAmount / 10;
}

// --- frequency and width ---

/** Two frames of an input. */
// @ts-ignore: decorator
@inline
function pair(signal: usize, frame: i32): v128 {
  return f64x2.promote_low_f32x4(v128.load64_zero(signal + (<usize>frame << 2)));
}

// @ts-ignore: decorator
@inline
function pitchHeld(block: Oscillator, to: i32): bool {
  return isHeld(block.inputPitch, to) && isHeld(block.inputPitch2, to) && isHeld(block.inputFmExp, to);
}

/** 2^octaves at a frame, remembered while they stay the same. */
// @ts-ignore: decorator
@inline
function powerAt(block: Oscillator, i: i32): f64 {
  const exponent =
    block.octaves + <f64>read(block.inputPitch, i) + <f64>read(block.inputPitch2, i) + block.settingFmExpAmount * <f64>read(block.inputFmExp, i);
  if (exponent != block.exponent) {
    block.exponent = exponent;
    block.power = exp2(exponent);
  }
  return block.power;
}

/** Cycles per frame before the direction: base x 2^octaves x (1 + linear x V), limited. */
// @ts-ignore: decorator
@inline
function frequencyAt(block: Oscillator, i: i32): f64 {
  const f = block.base * powerAt(block, i) * (1 + block.linear * <f64>read(block.inputFmLin, i));
  return max<f64>(min<f64>(f, block.limit), -block.limit);
}

/** The same for frames from..to-1, two at a time, into FREQUENCY; with an odd count a last one is made of whatever follows. */
function frequencies(block: Oscillator, from: i32, to: i32): void {
  if (to - from == 1) {
    store<f64>(FREQUENCY, frequencyAt(block, from));
    return;
  }
  const base = f64x2.splat(block.base);
  const linear = f64x2.splat(block.linear);
  const one = f64x2.splat(1);
  const top = f64x2.splat(block.limit);
  const bottom = f64x2.splat(-block.limit);
  const fmLin = block.inputFmLin;
  let out = FREQUENCY;
  if (pitchHeld(block, to)) {
    const carrier = f64x2.splat(block.base * powerAt(block, from));
    for (let i = from; i < to; i += 2, out += 16) {
      const f = f64x2.mul(carrier, f64x2.add(one, f64x2.mul(linear, pair(fmLin, i))));
      v128.store(out, f64x2.pmax(f64x2.pmin(f, top), bottom));
    }
    return;
  }
  const octaves = f64x2.splat(block.octaves);
  const amount = f64x2.splat(block.settingFmExpAmount);
  const pitch = block.inputPitch;
  const pitch2 = block.inputPitch2;
  const fmExp = block.inputFmExp;
  for (let i = from; i < to; i += 2, out += 16) {
    let exponent = f64x2.add(f64x2.add(octaves, pair(pitch, i)), pair(pitch2, i));
    exponent = f64x2.add(exponent, f64x2.mul(amount, pair(fmExp, i)));
    const f = f64x2.mul(f64x2.mul(base, exp2Pair(exponent)), f64x2.add(one, f64x2.mul(linear, pair(fmLin, i))));
    v128.store(out, f64x2.pmax(f64x2.pmin(f, top), bottom));
  }
}

/** Width at a frame as a share of 2^64, its lower half 0: the waves are made from upper halves. */
// @ts-ignore: decorator
@inline
function widthAt(block: Oscillator, i: i32): u64 {
  const share = block.settingWidth + block.widthPerVolt * <f64>read(block.inputWidth, i);
  return (<u64>(max<f64>(0.01, min<f64>(0.99, share)) * 4294967296)) << 32;
}

// --- edges ---

// @ts-ignore: decorator
@inline
function sawStep(block: Oscillator, k: i32, since: f64, volts: f64): void {
  if (block.outputSaw == 0) return;
  addStep(TABLE, reach, SAW_EDGES + (<usize>k << 2), since, volts);
  sawBusy = k + reach;
}

// @ts-ignore: decorator
@inline
function pulseStep(block: Oscillator, k: i32, since: f64, volts: f64): void {
  if (block.outputPulse == 0) return;
  addStep(TABLE, reach, PULSE_EDGES + (<usize>k << 2), since, volts);
  pulseBusy = k + reach;
}

// @ts-ignore: decorator
@inline
function triangleRamp(block: Oscillator, k: i32, since: f64, slope: f64): void {
  if (block.outputTriangle == 0) return;
  addRamp(TABLE, reach, TRIANGLE_EDGES + (<usize>k << 2), since, slope);
  triangleBusy = k + reach;
}

/** The phase passes 0, `time` after the last frame: the saw jumps, the pulse rises; going backwards the reverse. */
function start(block: Oscillator, k: i32, time: f64, way: f64): void {
  const since = restOfFrame(time);
  sawStep(block, k, since, -10 * way);
  pulseStep(block, k, since, 10 * way);
}

/** On its way from x the phase passes 1/4 or 3/4: the triangle turns. */
function corner(block: Oscillator, k: i32, x: u64, from: f64, f: f64, bend: f64, way: f64): void {
  const y = x - QUARTER; // below 1/2 the triangle falls
  const distance = cyclesToStart(y << 1, way) * 0.5;
  const top = (y < HALF) != (way > 0);
  const slope = 40 * speedAt(distance, f, bend);
  triangleRamp(block, k, restOfFrame(from + passing(distance, f, bend, way)), top ? -slope : slope);
}

/** On its way from x the phase passes the width `count` times (below 0: backwards): the pulse falls. f is relative to the width's. */
function fall(block: Oscillator, k: i32, x: u64, width: u64, from: f64, f: f64, bend: f64, count: i32): void {
  const way: f64 = count > 0 ? 1 : -1;
  const ahead = <f64>x * PER_PHASE - <f64>width * PER_PHASE;
  let mark: f64 = count > 0 ? (ahead < 0 ? 0 : 1) : ahead < 0 ? -1 : 0;
  for (let i = abs<i32>(count); i > 0; i--, mark += way) {
    pulseStep(block, k, restOfFrame(from + passing(mark - ahead, f, bend, way)), -10 * way);
  }
}

/**
 * All edges of frame k on the way from phase x over `step`, begun `from` after the last frame and `length` long, at first with f
 * cycles per frame, which bend, while the width goes from w0 to w1.
 */
function piece(block: Oscillator, k: i32, x: u64, step: i64, from: f64, length: f64, f: f64, bend: f64, w0: u64, w1: u64): void {
  const end = x + <u64>step;
  const way: f64 = step < 0 ? -1 : 1;
  let starts = 0;
  if (passesStart(x, step)) {
    starts = step < 0 ? -1 : 1;
    start(block, k, from + passing(cyclesToStart(x, way), f, bend, way), way);
  } else if (f * (f + bend * length) < 0) {
    // Through zero: the phase may pass its start and come back within the frame.
    const out: f64 = f < 0 ? -1 : 1;
    const distance = cyclesToStart(x, out);
    if (f * f + 2 * bend * distance > 0 && (out < 0 || x != 0)) {
      start(block, k, from + passing(distance, f, bend, out), out);
      start(block, k, from + passing(distance, f, bend, -out), -out);
    }
  }
  if ((<i64>((x - QUARTER) ^ (end - QUARTER))) < 0) corner(block, k, x, from, f, bend, way);
  const falls = starts - (<i32>(end < w1) - <i32>(x < w0));
  if (falls != 0) fall(block, k, x, w0, from, f - (<f64>w1 - <f64>w0) * PER_PHASE / length, bend, falls);
}

/** Plain triangle, V. */
function triangleAt(x: u64): f64 {
  return 5 - 20 * abs<f64>(<f64>(<i64>(x - QUARTER)) * PER_PHASE);
}

/** Its slope, V per cycle. */
function triangleSlope(x: u64): f64 {
  return x - QUARTER < HALF ? -20 : 20;
}

/**
 * Frame k, in which the sync input rises through 0 V at the time `at`: the way to there, the jump or the turn, the way on.
 * Answers the phase on the frame; block.direction may have turned.
 */
function synced(block: Oscillator, k: i32, x: u64, at: f64, f0: f64, f1: f64, w0: u64, w1: u64): u64 {
  const turn = block.settingSync != 0;
  const bend = f1 - f0;
  const f = f0 + bend * at;
  const w = w0 + <u64>(<i64>(<f64>(<i64>(w1 >> 1) - <i64>(w0 >> 1)) * at) << 1);
  const step = phaseOf((f0 + 0.5 * bend * at) * at);
  if (at > 0) piece(block, k, x, step, 0, at, f0, bend, w0, w);
  const old = x + <u64>step;
  const now = turn ? old : 0;
  const g = turn ? -f : f;
  if (turn) block.direction = -block.direction;
  const since = restOfFrame(at);
  const p0 = <f64>old * PER_PHASE;
  const p1 = <f64>now * PER_PHASE;
  if (turn && block.outputSaw != 0) {
    addRamp(TABLE, reach, SAW_EDGES + (<usize>k << 2), since, 10 * (g - f));
    sawBusy = k + reach;
  }
  if (!turn) {
    sawStep(block, k, since, 10 * (p1 - p0));
    if (old >= w) pulseStep(block, k, since, 10);
    if (block.outputTriangle != 0) addStep(TABLE, reach, TRIANGLE_EDGES + (<usize>k << 2), since, triangleAt(now) - triangleAt(old));
  }
  triangleRamp(block, k, since, triangleSlope(now) * g - triangleSlope(old) * f);
  if (block.outputSine != 0) {
    const to = SINE_EDGES + (<usize>k << 2);
    addStep(TABLE, reach, to, since, 5 * (sine(p1) - sine(p0)));
    addRamp(TABLE, reach, to, since, 10 * Math.PI * (sine(p1 + 0.25) * g - sine(p0 + 0.25) * f));
    sineBusy = k + reach;
  }
  const left = 1 - at;
  const onBend = turn ? -bend : bend;
  const on = phaseOf((g + 0.5 * onBend * left) * left);
  piece(block, k, now, on, at, left, g, onBend, w, w1);
  return now + <u64>on;
}

// --- phases ---

/** The first frame of all: phase 0; the slopes of saw and triangle begin here. */
function begin(block: Oscillator, from: i32): void {
  const f = frequencyAt(block, from) * block.direction;
  block.started = 1;
  block.rate = f;
  block.width = widthAt(block, from);
  block.syncVolts = read(block.inputSync, from);
  v128.store(WIDTH - 16, i32x4.splat(<i32>(block.width >> 32)));
  if (block.outputSaw != 0) {
    addRamp(TABLE, reach, SAW_EDGES, 0, 10 * f);
    sawBusy = reach;
  }
  triangleRamp(block, 0, 0, 20 * f);
  store<u32>(PHASE, 0);
  store<u32>(WIDTH, <u32>(block.width >> 32));
}

/** Phases and edges of frames from..to-1, whatever moves, from FREQUENCY; k is the place of `from` in the scratch. */
function moving(block: Oscillator, from: i32, to: i32, k: i32): void {
  const sync = block.inputSync;
  const pulse = block.outputPulse != 0;
  const startMask: u64 = pulse || block.outputSaw != 0 ? HALF : 0;
  const cornerMask: u64 = block.outputTriangle != 0 ? HALF : 0;
  const widthHeld = isHeld(block.inputWidth, to);
  const frequency = FREQUENCY - (<usize>from << 3);
  let direction = block.direction;
  let x = block.phase;
  let f0 = block.rate;
  let w0 = block.width;
  let s0 = block.syncVolts;
  let w1 = pulse ? widthAt(block, from) : w0;
  for (let i = from; i < to; i++, k++) {
    let f1 = load<f64>(frequency + (<usize>i << 3)) * direction;
    if (pulse && !widthHeld) w1 = widthAt(block, i);
    const s1 = read(sync, i);
    const step = phaseOf(0.5 * (f0 + f1));
    let x1 = x + <u64>step;
    if (s0 <= 0 && s1 > 0) {
      x1 = synced(block, k, x, <f64>s0 / (<f64>s0 - <f64>s1), f0, f1, w0, w1);
      if (block.direction != direction) f1 = -f1;
      direction = block.direction;
    } else {
      const marks = ((x ^ x1) & ~(x1 ^ <u64>step) & startMask) | (((x - QUARTER) ^ (x1 - QUARTER)) & cornerMask);
      if (<i64>marks < 0 || f0 * f1 < 0 || (pulse && x < w0 != x1 < w1)) piece(block, k, x, step, 0, 1, f0, f1 - f0, w0, w1);
    }
    const at = <usize>k << 2;
    store<u32>(PHASE + at, <u32>(x1 >> 32));
    if (pulse) store<u32>(WIDTH + at, <u32>(w1 >> 32));
    x = x1;
    f0 = f1;
    w0 = w1;
    s0 = s1;
  }
  block.phase = x;
  block.rate = f0;
  block.width = w0;
  block.syncVolts = s0;
}

/** Phases and edges of `count` frames while nothing moves: edges are found by division. */
function steady(block: Oscillator, count: i32, k: i32): void {
  const x = block.phase;
  const step = phaseOf(0.5 * (block.rate + block.rate));
  if (step != 0) {
    if (block.outputSaw != 0 || block.outputPulse != 0) steadyStarts(block, x, step, count, k);
    if (block.outputTriangle != 0) steadyCorners(block, x, step, count, k);
  }
  let a = i64x2.replace_lane(i64x2.splat(<i64>x + step), 1, <i64>x + 2 * step);
  const two = i64x2.splat(2 * step);
  const width = i32x4.splat(<i32>(block.width >> 32));
  for (let i = 0; i < count; i += 4) {
    const at = <usize>(k + i) << 2;
    const b = i64x2.add(a, two);
    v128.store(PHASE + at, i32x4.shuffle(a, b, 1, 3, 5, 7));
    if (block.outputPulse != 0) v128.store(WIDTH + at, width);
    a = i64x2.add(b, two);
  }
  block.phase = x + <u64>count * <u64>step;
}

function steadyStarts(block: Oscillator, x: u64, step: i64, count: i32, k: i32): void {
  const pulse = block.outputPulse != 0;
  const f = block.rate;
  const way: f64 = step < 0 ? -1 : 1;
  let rise = framesToStart(x, step);
  let drop = pulse ? framesToStart(x - block.width, step) : u64.MAX_VALUE;
  while (true) {
    const next = min(rise, drop);
    if (next > <u64>count) return;
    const before = x + (next - 1) * <u64>step;
    const at = k + <i32>next - 1;
    if (next == rise) {
      start(block, at, passing(cyclesToStart(before, way), f, 0, way), way);
      rise += framesToStart(before + <u64>step, step);
    }
    if (next == drop) {
      fall(block, at, before, block.width, 0, f, 0, <i32>way);
      drop += framesToStart(before + <u64>step - block.width, step);
    }
  }
}

function steadyCorners(block: Oscillator, x: u64, step: i64, count: i32, k: i32): void {
  const f = block.rate;
  const way: f64 = step < 0 ? -1 : 1;
  const speed = <u64>abs<i64>(step) << 1;
  let next: u64 = 0;
  while (true) {
    const y = (x + next * <u64>step - QUARTER) << 1; // through 0 at each corner, twice as fast
    next += (step > 0 ? u64.MAX_VALUE - y : y) / speed + 1;
    if (next > <u64>count) return;
    corner(block, k + <i32>next - 1, x + (next - 1) * <u64>step, 0, f, 0, way);
  }
}

// --- outputs ---

const SAW: i32 = 0;
const PULSE: i32 = 1;
const TRIANGLE: i32 = 2;
const SINE: i32 = 3;

/** Four frames of a plain wave from frame k on; `phase` is the scratch, EDGE_DELAY frames back or not. */
// @ts-ignore: decorator
@inline
function plain(wave: i32, phase: usize, k: i32): v128 {
  const x = v128.load(phase + (<usize>k << 2));
  if (wave == SAW) return plainSaw(x);
  if (wave == PULSE) return plainPulse(x, v128.load(WIDTH - EDGE_DELAY * 4 + (<usize>k << 2)));
  if (wave == TRIANGLE) return plainTriangle(x);
  return plainSine(x);
}

// @ts-ignore: decorator
@inline
function put(wave: i32, out: usize, phase: usize, edges: usize, busy: i32, count: i32): void {
  let k = 0;
  const most = count & ~3;
  const both = min(most, (busy + 3) & ~3);
  for (; k < both; k += 4) v128.store(out + (<usize>k << 2), withEdges(plain(wave, phase, k), edges, k));
  for (; k < most; k += 4) v128.store(out + (<usize>k << 2), plain(wave, phase, k));
  if (k == count) return;
  const last = withEdges(plain(wave, phase, k), edges, k);
  const at = out + (<usize>k << 2);
  if (count & 2) {
    v128.store64_lane(at, last, 0);
    if (count & 1) v128.store32_lane(at, last, 2, 8);
  } else {
    v128.store32_lane(at, last, 0);
  }
}

// @ts-ignore: decorator
@inline
function withEdges(wave: v128, edges: usize, k: i32): v128 {
  const sum = f32x4.add(wave, v128.load(edges + (<usize>k << 2)));
  return f32x4.pmax(f32x4.pmin(sum, f32x4.splat(RAIL)), f32x4.splat(-RAIL));
}

/** [audio thread] */
export function process(block: Oscillator, from: i32, to: i32): void {
  const count = to - from;
  const base = changetype<usize>(block);
  const first = <usize>from << 2;
  v128.store(PHASE - 16, block.pastPhase);
  v128.store(WIDTH - 16, block.pastWidth);
  sawBusy = block.outputSaw != 0 ? block.sawLeft : 0;
  pulseBusy = block.outputPulse != 0 ? block.pulseLeft : 0;
  triangleBusy = block.outputTriangle != 0 ? block.triangleLeft : 0;
  sineBusy = block.outputSine != 0 ? block.sineLeft : 0;
  openTail(SAW_EDGES, base + offsetof<Oscillator>('saw0'), sawBusy);
  openTail(PULSE_EDGES, base + offsetof<Oscillator>('pulse0'), pulseBusy);
  openTail(TRIANGLE_EDGES, base + offsetof<Oscillator>('triangle0'), triangleBusy);
  openTail(SINE_EDGES, base + offsetof<Oscillator>('sine0'), sineBusy);

  advance(block, from, to);

  const late = PHASE - EDGE_DELAY * 4;
  if (block.outputSaw != 0) put(SAW, block.outputSaw + first, late, SAW_EDGES, sawBusy, count);
  if (block.outputPulse != 0) put(PULSE, block.outputPulse + first, late, PULSE_EDGES, pulseBusy, count);
  if (block.outputTriangle != 0) put(TRIANGLE, block.outputTriangle + first, late, TRIANGLE_EDGES, triangleBusy, count);
  if (block.outputSine != 0) {
    put(SINE, block.outputSine + first, isPatched(block, OSCILLATOR_SYNC) ? late : PHASE, SINE_EDGES, sineBusy, count);
  }

  block.pastPhase = v128.load(PHASE - 16 + (<usize>count << 2));
  block.pastWidth = v128.load(WIDTH - 16 + (<usize>count << 2));
  block.sawLeft = closeTail(SAW_EDGES, base + offsetof<Oscillator>('saw0'), sawBusy, count);
  block.pulseLeft = closeTail(PULSE_EDGES, base + offsetof<Oscillator>('pulse0'), pulseBusy, count);
  block.triangleLeft = closeTail(TRIANGLE_EDGES, base + offsetof<Oscillator>('triangle0'), triangleBusy, count);
  block.sineLeft = closeTail(SINE_EDGES, base + offsetof<Oscillator>('sine0'), sineBusy, count);
}

/** Phases, widths and edges of frames from..to-1 into the scratch. */
function advance(block: Oscillator, from: i32, to: i32): void {
  if (block.settingSync == 0) block.direction = 1;
  let i = from;
  if (block.started == 0) begin(block, i++);
  if (i == to) return;
  const widthHeld = block.outputPulse == 0 || isHeld(block.inputWidth, to);
  if (!widthHeld || !pitchHeld(block, to) || !isHeld(block.inputFmLin, to) || !isHeld(block.inputSync, to)) {
    frequencies(block, i, to);
    moving(block, i, to, i - from);
    return;
  }
  const f = frequencyAt(block, i);
  const width = block.outputPulse != 0 ? widthAt(block, i) : block.width;
  if (f * block.direction != block.rate || width != block.width || read(block.inputSync, i) != block.syncVolts) {
    // Since the last frame something has changed: one frame on the way there.
    store<f64>(FREQUENCY, f);
    moving(block, i, i + 1, i - from);
    i++;
  }
  if (i < to) steady(block, to - i, i - from);
}
