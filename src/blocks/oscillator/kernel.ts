/**
 * Oscillator: a 64-bit phase, plain waves taken from it (phaseWaves.ts), and band-limited edges added where a wave jumps or turns
 * (waveEdges.ts, bandLimitedEdge.ts).
 *
 * Every edge lies at its own instant between two frames, on the curve that frequency and width follow there; sync falls where the
 * straight line between two frames of its input crosses 0 V. No output looks ahead. Saw, triangle and pulse begin to answer on the
 * first frame after an edge and are 3 engine frames late on the average (EDGE_DELAY); the sine is not late at all, or alike while
 * sync is patched. Measured alias: oscillator.test.ts.
 */
import { EDGE_DELAY, EDGE_FRAMES, EDGE_TABLE_BYTES, edgeFrames, fillEdgeTable } from '../../dsp/bandLimitedEdge';
import { CHUNK, isHeld, isPatched, read } from '../../dsp/block';
import { exp2, exp2Pair } from '../../dsp/exp2';
import { frameStep, frameStepPair, passesStart, placeOf, placePair, shortStepPair } from '../../dsp/phasePath';
import { marks, nextRise, overtakes } from '../../dsp/phaseSearch';
import { PULSE, putFrame, putWave, SAW, SINE, TRIANGLE } from '../../dsp/phaseWaves';
import { EdgeSums, passCorners, passFrame, passStarts, passSync, sawCorner, triangleCorner } from '../../dsp/waveEdges';
import { OSCILLATOR_SYNC, OscillatorPorts } from '../layouts.gen';

const TABLE = memory.data(EDGE_TABLE_BYTES, 16);
/** Table, reach and, during a call, the sums. */
const EDGES = memory.data(64, 16);

// Scratch of one call, by frame from its first, behind some of the past: frequency before the direction (cycles per frame), phase per
// frame, phase, width (share of the cycle), upper halves of phase and width.
const FREQUENCY = memory.data((CHUNK + 6) * 8, 16) + 16;
const STEP = memory.data((CHUNK + 4) * 8, 16);
const PHASE = memory.data((CHUNK + 6) * 8, 16) + 16;
const WIDTH = memory.data((CHUNK + 6) * 8, 16) + 16;
const UPPER_PHASE = memory.data((CHUNK + 8) * 4, 16) + 16;
const UPPER_WIDTH = memory.data((CHUNK + 8) * 4, 16) + 16;
/** What edges add to the frames of one call and after it, by output; all zero between calls. */
const SUM_BYTES: i32 = (CHUNK + EDGE_FRAMES + 4) * 4;
const SUMS = memory.data(SUM_BYTES * 4, 16);

const QUARTER: u64 = 1 << 62;
/** Frames by which a tail may move on before it is moved back: 4 TAIL_VECTORS = EDGE_FRAMES + SLACK. */
const SLACK: i32 = 16;
const TAIL_VECTORS: i32 = 9;

@unmanaged
export class Oscillator extends OscillatorPorts {
  /** Cycles per frame at 0 octaves, octaves from the settings, highest cycles per frame. */
  base: f64;
  octaves: f64;
  limit: f64;
  /** Share of the frequency, and of the cycle, per volt. */
  linear: f64;
  widthPerVolt: f64;
  /** The last exponent and its power of two. */
  exponent: f64;
  power: f64;
  /** +1 or -1: turned by soft sync. */
  direction: f64;
  /** On the last frame: phase, frequency, width, sync input; the two before it one frame earlier. */
  phase: u64;
  frequency: f64;
  frequencyBefore: f64;
  width: f64;
  widthBefore: f64;
  sync: f32;
  /** 0 before the first frame. */
  started: i32;
  /** Upper halves of phase and width on the last frames: past1 is the newest. */
  past1: u32;
  past2: u32;
  past3: u32;
  pastWidth1: u32;
  pastWidth2: u32;
  pastWidth3: u32;
  /** Tails: what past edges add to coming frames, from `at` on, for so many frames; all else in them is zero. */
  at: i32;
  sineLeft: i32;
  triangleLeft: i32;
  sawLeft: i32;
  pulseLeft: i32;
sine0: v128; sine1: v128; sine2: v128; sine3: v128; sine4: v128; sine5: v128; sine6: v128; sine7: v128; sine8: v128;
  triangle0: v128; triangle1: v128; triangle2: v128; triangle3: v128; triangle4: v128; triangle5: v128; triangle6: v128; triangle7: v128; triangle8: v128;
  saw0: v128; saw1: v128; saw2: v128; saw3: v128; saw4: v128; saw5: v128; saw6: v128; saw7: v128; saw8: v128;
  pulse0: v128; pulse1: v128; pulse2: v128; pulse3: v128; pulse4: v128; pulse5: v128; pulse6: v128; pulse7: v128; pulse8: v128;
}

/** The edge table for this engine rate. */
export function prepare(sampleRate: f64, quality: i32): void {
  const edges = changetype<EdgeSums>(EDGES);
  edges.table = TABLE;
  edges.reach = edgeFrames(sampleRate);
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
  const carrier = block.base * powerAt(block, i);
  const f = carrier + carrier * block.linear * <f64>read(block.inputFmLin, i);
  return f > block.limit ? block.limit : f < -block.limit ? -block.limit : f;
}

/** Share of the cycle, to 2^-32: the waves are made from upper halves. */
// @ts-ignore: decorator
@inline
function widthAt(block: Oscillator, i: i32): f64 {
  const share = block.settingWidth + block.widthPerVolt * <f64>read(block.inputWidth, i);
  const kept = share > 0.99 ? 0.99 : share < 0.01 ? 0.01 : share;
  return kept + 1572864 - 1572864;
}

/** Two frames of an input. */
// @ts-ignore: decorator
@inline
function pair(signal: usize, frame: i32): v128 {
  return f64x2.promote_low_f32x4(v128.load64_zero(signal + (<usize>frame << 2)));
}

// @ts-ignore: decorator
@inline
function clampPair(x: v128, bottom: v128, top: v128): v128 {
  return f64x2.pmax(f64x2.pmin(x, top), bottom);
}

// @ts-ignore: decorator
@inline
function pitchHeld(block: Oscillator, to: i32): bool {
  return isHeld(block.inputPitch, to) && isHeld(block.inputPitch2, to) && isHeld(block.inputFmExp, to);
}

/** FREQUENCY and STEP of frames from..to-1 at place k, two at a time; with an odd count one more is made of whatever follows. */
function frequencies(block: Oscillator, from: i32, to: i32, k: i32): void {
  const top = f64x2.splat(block.limit);
  const bottom = f64x2.splat(-block.limit);
  const fmLin = block.inputFmLin;
  const still = isHeld(fmLin, to) && read(fmLin, from) == 0;
  const place = FREQUENCY + (<usize>k << 3);
  let before = f64x2.replace_lane(f64x2.splat(block.frequencyBefore), 1, block.frequency);
  let at = place;
  v128.store(at - 16, before);
  if (pitchHeld(block, to)) {
    const carrier = f64x2.splat(block.base * powerAt(block, from));
    const slope = f64x2.mul(carrier, f64x2.splat(block.linear));
    for (let i = from; i < to; i += 2, at += 16) {
      const f = clampPair(f64x2.add(carrier, f64x2.mul(slope, pair(fmLin, i))), bottom, top);
      v128.store(at, f);
      v128.store(at + (STEP - FREQUENCY), shortStepPair(f, i64x2.shuffle(before, f, 1, 2), before));
      before = f;
    }
  } else {
    const base = f64x2.splat(block.base);
    const linear = f64x2.splat(block.linear);
    const octaves = f64x2.splat(block.octaves);
    const amount = f64x2.splat(block.settingFmExpAmount);
    const pitch = block.inputPitch;
    const pitch2 = block.inputPitch2;
    const fmExp = block.inputFmExp;
    const pitches = isHeld(pitch, to) && isHeld(pitch2, to);
    const rest = f64x2.add(f64x2.add(octaves, pair(pitch, from)), pair(pitch2, from));
    for (let i = from; i < to; i += 2, at += 16) {
      const sum = pitches ? rest : f64x2.add(f64x2.add(octaves, pair(pitch, i)), pair(pitch2, i));
      let f = f64x2.mul(base, exp2Pair(f64x2.add(sum, f64x2.mul(amount, pair(fmExp, i)))));
      if (!still) f = f64x2.add(f, f64x2.mul(f64x2.mul(f, linear), pair(fmLin, i)));
      f = clampPair(f, bottom, top);
      v128.store(at, f);
      v128.store(at + (STEP - FREQUENCY), shortStepPair(f, i64x2.shuffle(before, f, 1, 2), before));
      before = f;
    }
  }
  if (block.limit <= 0.42) return;
  for (let f = place; f < at; f += 16) {
    v128.store(f + (STEP - FREQUENCY), frameStepPair(v128.load(f), v128.load(f - 8), v128.load(f - 16)));
  }
}

/** WIDTH of frames from..to-1 at place k. */
function widths(block: Oscillator, from: i32, to: i32, k: i32): void {
  const middle = f64x2.splat(block.settingWidth);
  const amount = f64x2.splat(block.widthPerVolt);
  const input = block.inputWidth;
  let at = <usize>k << 3;
  v128.store(WIDTH + at - 16, f64x2.replace_lane(f64x2.splat(block.widthBefore), 1, block.width));
  for (let i = from; i < to; i += 2, at += 16) {
    const share = f64x2.add(middle, f64x2.mul(amount, pair(input, i)));
    const kept = clampPair(share, f64x2.splat(0.01), f64x2.splat(0.99));
    v128.store(WIDTH + at, f64x2.sub(f64x2.add(kept, f64x2.splat(1572864)), f64x2.splat(1572864)));
  }
}

// --- phases ---

/** The first frame of all: phase 0; the slopes of saw and triangle begin here. */
function begin(block: Oscillator, edges: EdgeSums, i: i32): void {
  const f = frequencyAt(block, i) * block.direction;
  block.started = 1;
  block.frequency = f;
  block.frequencyBefore = f;
  block.width = widthAt(block, i);
  block.widthBefore = block.width;
  for (let past = UPPER_WIDTH - EDGE_DELAY * 4; past < UPPER_WIDTH; past += 4) store<u32>(past, upper(placeOf(block.width)));
  block.sync = read(block.inputSync, i);
  sawCorner(edges, 0, 0, 10 * f, 0);
  triangleCorner(edges, 0, 0, 20 * f, 0);
}

// @ts-ignore: decorator
@inline
function upper(x: u64): u32 {
  return <u32>(x >> 32);
}

/** One frame, whatever moves: frame i of the chunk, k of the sums. */
function frame(block: Oscillator, edges: EdgeSums, i: i32, k: i32): void {
  const pulse = edges.pulse != 0;
  const d = block.direction;
  const next = frequencyAt(block, i);
  const f1 = d * next;
  const f0 = d * block.frequency;
  const f2 = d * block.frequencyBefore;
  const w1 = pulse ? widthAt(block, i) : block.width;
  const w0 = block.width;
  const w2 = block.widthBefore;
  const s1 = read(block.inputSync, i);
  const s0 = block.sync;
  const x = block.phase;
  if (s0 <= 0 && s1 > 0) {
    const turn = block.settingSync != 0;
    block.phase = passSync(edges, k, x, <f64>s0 / (<f64>s0 - <f64>s1), turn, f1, f0, f2, w1, w0, w2);
    if (turn) block.direction = -d;
  } else {
    const step = frameStep(f1, f0, f2);
    const end = x + <u64>step;
    block.phase = end;
    if (
      passesStart(x, step) ||
      <i64>((x - QUARTER) ^ (end - QUARTER)) < 0 ||
      f1 * f0 < 0 ||
      (pulse && (w1 != w0 || w0 != w2 || x < placeOf(w0) != end < placeOf(w1)))
    ) {
      passFrame(edges, k, x, step, f1, f0, f2, w1, w0, w2);
    }
  }
  block.frequencyBefore = block.frequency;
  block.frequency = next;
  block.widthBefore = w0;
  block.width = w1;
  block.sync = s1;
}

/** Phases and edges of frames from..to-1 at place k, whatever moves. */
function moving(block: Oscillator, edges: EdgeSums, from: i32, to: i32, k: i32): void {
  const sync = block.inputSync;
  const toPlace = k - from;
  const pulse = edges.pulse != 0;
  frequencies(block, from, to, k);
  if (pulse) widths(block, from, to, k);
  store<u64>(PHASE + (<usize>k << 3) - 8, block.phase);
  for (let i = from; i < to; i++) {
    const rise = nextRise(sync, i, to, i == from ? block.sync : read(sync, i - 1));
    if (rise > i) glideOn(block, edges, i + toPlace, rise + toPlace);
    if (rise < to) {
      i = rise;
      syncAt(block, edges, rise + toPlace, i == from ? block.sync : read(sync, i - 1), read(sync, i));
    } else i = to;
  }
  const last = <usize>(to - 1 + toPlace) << 3;
  block.phase = load<u64>(PHASE + last);
  block.frequency = load<f64>(FREQUENCY + last);
  block.frequencyBefore = load<f64>(FREQUENCY + last - 8);
  if (pulse) {
    block.width = load<f64>(WIDTH + last);
    block.widthBefore = load<f64>(WIDTH + last - 8);
  }
  block.sync = read(sync, to - 1);
}

/** A frame of `moving` with a sync edge between s0 and s1 volts. */
function syncAt(block: Oscillator, edges: EdgeSums, k: i32, s0: f32, s1: f32): void {
  const at = <usize>k << 3;
  const f = FREQUENCY + at;
  const w = WIDTH + at;
  const d = block.direction;
  const turn = block.settingSync != 0;
  const time = <f64>s0 / (<f64>s0 - <f64>s1);
  const x = load<u64>(PHASE + at - 8);
  const now = passSync(
    edges, k, x, time, turn, d * load<f64>(f), d * load<f64>(f - 8), d * load<f64>(f - 16), load<f64>(w), load<f64>(w - 8), load<f64>(w - 16),
  );
  if (turn) block.direction = -d;
  store<u64>(PHASE + at, now);
  store<u32>(UPPER_PHASE + (at >> 1), upper(now));
  store<u32>(UPPER_WIDTH + (at >> 1), upper(placeOf(load<f64>(w))));
}

/** Frames k..end-1 of `moving`, without sync: first the phases, then, four at a time, the search for edges. */
function glideOn(block: Oscillator, edges: EdgeSums, k: i32, end: i32): void {
  const stop = PHASE + (<usize>end << 3);
  let at = PHASE + (<usize>k << 3);
  let x = load<u64>(at - 8);
  if (block.direction > 0) {
    for (; at < stop; at += 8) {
      x += load<u64>(at + (STEP - PHASE));
      store<u64>(at, x);
    }
  } else {
    for (; at < stop; at += 8) {
      x -= load<u64>(at + (STEP - PHASE));
      store<u64>(at, x);
    }
  }

  const pulse = edges.pulse != 0;
  const starts = i32x4.splat(pulse || edges.saw != 0 ? i32.MIN_VALUE : 0);
  const corners = i32x4.splat(edges.triangle != 0 ? i32.MIN_VALUE : 0);
  let a = i32x4.splat(<i32>upper(load<u64>(PHASE + (<usize>k << 3) - 8)));
  let fa = v128.load(FREQUENCY + (<usize>k << 3) - 16); // its last lane is a sign
  let high = i32x4.splat(0);
  if (pulse) high = i32x4.lt_u(a, i32x4.splat(<i32>upper(placeOf(load<f64>(WIDTH + (<usize>k << 3) - 8)))));
  for (; k < end; k += 4) {
    const at = <usize>k << 3;
    const b = i32x4.shuffle(v128.load(PHASE + at), v128.load(PHASE + at, 16), 1, 3, 5, 7);
    const fb = i32x4.shuffle(v128.load(FREQUENCY + at), v128.load(FREQUENCY + at, 16), 1, 3, 5, 7);
    let m = v128.or(marks(i32x4.shuffle(a, b, 3, 4, 5, 6), b, starts, corners), v128.xor(i32x4.shuffle(fa, fb, 3, 4, 5, 6), fb));
    if (pulse) {
      const w = i32x4.shuffle(placePair(v128.load(WIDTH + at)), placePair(v128.load(WIDTH + at, 16)), 1, 3, 5, 7);
      const highB = i32x4.lt_u(b, w);
      m = v128.or(m, v128.xor(i32x4.shuffle(high, highB, 3, 4, 5, 6), highB));
      m = v128.or(m, i32x4.shuffle(overtakes(WIDTH + at, FREQUENCY + at), overtakes(WIDTH + at + 16, FREQUENCY + at + 16), 1, 3, 5, 7));
      high = highB;
      v128.store(UPPER_WIDTH + (at >> 1), w);
    }
    v128.store(UPPER_PHASE + (at >> 1), b);
    let bits = i32x4.bitmask(m);
    if (end - k < 4) bits &= (1 << (end - k)) - 1;
    for (; bits != 0; bits &= bits - 1) edgeAt(block, edges, k + ctz(bits));
    a = b;
    fa = fb;
  }
}

function edgeAt(block: Oscillator, edges: EdgeSums, k: i32): void {
  const at = <usize>k << 3;
  const f = FREQUENCY + at;
  const w = WIDTH + at;
  const d = block.direction;
  const x = load<u64>(PHASE + at - 8);
  const step = <i64>(load<u64>(PHASE + at) - x);
  passFrame(
    edges, k, x, step, d * load<f64>(f), d * load<f64>(f - 8), d * load<f64>(f - 16), load<f64>(w), load<f64>(w - 8), load<f64>(w - 16),
  );
}

/** Phases and edges of `count` frames while nothing moves: edges are found by division. */
function steady(block: Oscillator, edges: EdgeSums, count: i32, k: i32): void {
  const x = block.phase;
  const f = block.direction * block.frequency;
  const step = frameStep(f, f, f);
  const pulse = edges.pulse != 0;
  if (step != 0) {
    if (pulse || edges.saw != 0) passStarts(edges, x, step, f, block.width, count, k);
    if (edges.triangle != 0) passCorners(edges, x, step, f, count, k);
  }
  let a = i64x2.replace_lane(i64x2.splat(<i64>x + step), 1, <i64>x + 2 * step);
  const two = i64x2.splat(2 * step);
  const width = i32x4.splat(<i32>upper(placeOf(block.width)));
  for (let i = 0; i < count; i += 4) {
    const at = <usize>(k + i) << 2;
    const b = i64x2.add(a, two);
    v128.store(UPPER_PHASE + at, i32x4.shuffle(a, b, 1, 3, 5, 7));
    if (pulse) v128.store(UPPER_WIDTH + at, width);
    a = i64x2.add(b, two);
  }
  block.phase = x + <u64>count * <u64>step;
}

// --- outputs ---

// Outputs are numbered as in the spec (SINE, TRIANGLE, SAW, PULSE); their pointers, tails and sums lie in that order.

// @ts-ignore: decorator
@inline
function outputOf(block: Oscillator, wave: i32): usize {
  return load<usize>(changetype<usize>(block) + offsetof<Oscillator>('outputSine') + (<usize>wave << 2));
}

// @ts-ignore: decorator
@inline
function leftOf(block: Oscillator, wave: i32): usize {
  return changetype<usize>(block) + offsetof<Oscillator>('sineLeft') + (<usize>wave << 2);
}

// @ts-ignore: decorator
@inline
function tailOf(block: Oscillator, wave: i32): usize {
  return changetype<usize>(block) + offsetof<Oscillator>('sine0') + <usize>(wave * TAIL_VECTORS * 16);
}

function zeroTail(tail: usize): void {
  for (let i = 0; i < TAIL_VECTORS; i++) v128.store(tail + (<usize>i << 4), i64x2.splat(0));
}

/** Gives an output that is read its sums and says how far they are in use; forgets the tail of one that is not. */
// @ts-ignore: decorator
@inline
function connect(block: Oscillator, wave: i32, sums: usize): void {
  const at = EDGES + (<usize>wave << 2);
  const left = load<i32>(leftOf(block, wave));
  if (outputOf(block, wave) != 0) {
    store<usize>(at, sums, offsetof<EdgeSums>('sine'));
    store<i32>(at, left, offsetof<EdgeSums>('sineBusy'));
    return;
  }
  store<usize>(at, 0, offsetof<EdgeSums>('sine'));
  store<i32>(at, 0, offsetof<EdgeSums>('sineBusy'));
  if (left == 0) return;
  zeroTail(tailOf(block, wave));
  store<i32>(leftOf(block, wave), 0);
}

/** Moves what the sums hold beyond `count` frames into the tail. */
// @ts-ignore: decorator
@inline
function keep(block: Oscillator, wave: i32, count: i32): void {
  const busy = load<i32>(EDGES + (<usize>wave << 2), offsetof<EdgeSums>('sineBusy'));
  if (busy == 0) return;
  const sums = SUMS + <usize>(wave * SUM_BYTES);
  const tail = tailOf(block, wave);
  zeroTail(tail);
  for (let i = 0; i < busy - count; i += 4) v128.store(tail + (<usize>i << 2), v128.load(sums + (<usize>(count + i) << 2)));
  for (let i = 0; i < busy; i += 4) v128.store(sums + (<usize>i << 2), i64x2.splat(0));
  store<i32>(leftOf(block, wave), max(0, busy - count));
}

/** Phases, widths and edges of frames from..to-1. */
function advance(block: Oscillator, edges: EdgeSums, from: i32, to: i32): void {
  let i = from;
  if (block.started == 0) {
    begin(block, edges, i);
    remember(block, 0);
    i++;
  }
  const widthHeld = edges.pulse == 0 || isHeld(block.inputWidth, to);
  if (!widthHeld || !pitchHeld(block, to) || !isHeld(block.inputFmLin, to) || !isHeld(block.inputSync, to)) {
    if (i < to) moving(block, edges, i, to, i - from);
    return;
  }
  for (; i < to; i++) {
    const f = frequencyAt(block, i);
    const still = f == block.frequency && f == block.frequencyBefore && read(block.inputSync, i) == block.sync;
    const w = edges.pulse != 0 ? widthAt(block, i) : 0;
    if (still && (edges.pulse == 0 || (w == block.width && w == block.widthBefore))) {
      steady(block, edges, to - i, i - from);
      return;
    }
    frame(block, edges, i, i - from);
    remember(block, i - from);
  }
}

/** Puts the frame just made into the scratch. */
function remember(block: Oscillator, k: i32): void {
  store<u32>(UPPER_PHASE + (<usize>k << 2), upper(block.phase));
  store<u32>(UPPER_WIDTH + (<usize>k << 2), upper(placeOf(block.width)));
}

/** [audio thread] */
export function process(block: Oscillator, from: i32, to: i32): void {
  const edges = changetype<EdgeSums>(EDGES);
  if (block.settingSync == 0) block.direction = 1;
  if (to - from == 1 && block.started != 0) {
    single(block, edges, from);
    return;
  }
  const count = to - from;
  const first = <usize>from << 2;
  for (let wave = 0; wave < 4; wave++) {
    const sums = SUMS + <usize>(wave * SUM_BYTES);
    connect(block, wave, sums);
    const tail = tailOf(block, wave) + (<usize>block.at << 2);
    const left = load<i32>(leftOf(block, wave));
    for (let i = 0; i < left; i += 4) v128.store(sums + (<usize>i << 2), v128.load(tail + (<usize>i << 2)));
  }
  block.at = 0;
  for (let i: usize = 0; i < 12; i += 4) {
    store<u32>(UPPER_PHASE - 4 - i, load<u32>(changetype<usize>(block) + offsetof<Oscillator>('past1') + i));
    store<u32>(UPPER_WIDTH - 4 - i, load<u32>(changetype<usize>(block) + offsetof<Oscillator>('pastWidth1') + i));
  }

  advance(block, edges, from, to);

  const phases = UPPER_PHASE - EDGE_DELAY * 4;
  const widths = UPPER_WIDTH - EDGE_DELAY * 4;
  const straight = isPatched(block, OSCILLATOR_SYNC) ? phases : UPPER_PHASE;
  if (edges.sine != 0) putWave(SINE, block.outputSine + first, straight, widths, edges.sine, edges.sineBusy, count);
  if (edges.triangle != 0) putWave(TRIANGLE, block.outputTriangle + first, phases, widths, edges.triangle, edges.triangleBusy, count);
  if (edges.saw != 0) putWave(SAW, block.outputSaw + first, phases, widths, edges.saw, edges.sawBusy, count);
  if (edges.pulse != 0) putWave(PULSE, block.outputPulse + first, phases, widths, edges.pulse, edges.pulseBusy, count);

  for (let i: usize = 0; i < 12; i += 4) {
    const at = (<usize>count << 2) - 4 - i;
    store<u32>(changetype<usize>(block) + offsetof<Oscillator>('past1') + i, load<u32>(UPPER_PHASE + at));
    store<u32>(changetype<usize>(block) + offsetof<Oscillator>('pastWidth1') + i, load<u32>(UPPER_WIDTH + at));
  }
  for (let wave = 0; wave < 4; wave++) keep(block, wave, count);
}

/** One frame alone, as in a loop: the same, with the edges added to the tails themselves. */
function single(block: Oscillator, edges: EdgeSums, i: i32): void {
  const at = <usize>block.at << 2;
  for (let wave = 0; wave < 4; wave++) connect(block, wave, tailOf(block, wave) + at);
  frame(block, edges, i, 0);
  const here = <usize>i << 2;
  const now = upper(block.phase);
  if (edges.sine != 0) putFrame(SINE, block.outputSine + here, isPatched(block, OSCILLATOR_SYNC) ? block.past3 : now, 0, edges.sine);
  if (edges.triangle != 0) putFrame(TRIANGLE, block.outputTriangle + here, block.past3, 0, edges.triangle);
  if (edges.saw != 0) putFrame(SAW, block.outputSaw + here, block.past3, 0, edges.saw);
  if (edges.pulse != 0) putFrame(PULSE, block.outputPulse + here, block.past3, block.pastWidth3, edges.pulse);
  block.past3 = block.past2;
  block.past2 = block.past1;
  block.past1 = now;
  block.pastWidth3 = block.pastWidth2;
  block.pastWidth2 = block.pastWidth1;
  block.pastWidth1 = upper(placeOf(block.width));
  block.sineLeft = max(0, edges.sineBusy - 1);
  block.triangleLeft = max(0, edges.triangleBusy - 1);
  block.sawLeft = max(0, edges.sawBusy - 1);
  block.pulseLeft = max(0, edges.pulseBusy - 1);
  block.at++;
  if (block.at < SLACK) return;
  block.at = 0;
  for (let wave = 0; wave < 4; wave++) {
    const tail = tailOf(block, wave);
    for (let k = 0; k < EDGE_FRAMES; k += 4) v128.store(tail + (<usize>k << 2), v128.load(tail + (<usize>(k + SLACK) << 2)));
    for (let k = EDGE_FRAMES; k < EDGE_FRAMES + SLACK; k += 4) v128.store(tail + (<usize>k << 2), i64x2.splat(0));
  }
}
