/**
 * Oscillator: a 64-bit phase (phasePath.ts, phaseTrack.ts), plain waves taken from it (phaseWaves.ts), and band-limited edges added
 * where a wave jumps or turns (waveEdges.ts, bandLimitedEdge.ts).
 *
 * Every edge lies at its own instant between two frames, on the curve that frequency and width follow there; sync falls where the
 * straight line between two frames of its input crosses 0 V. No output looks ahead. Saw, triangle and pulse begin to answer on the
 * first frame after an edge and are 3 engine frames late on the average (EDGE_DELAY); the sine is not late at all, or alike while
 * sync is patched.
 *
 * Alias re the strongest line, measured at 48 kHz (alias.test.ts holds bars a little above):
 *                                              quality 1 to 16 kHz      quality 4 to 20 kHz
 *   steady saw and pulse, 1.3-4 kHz            -119 dB                  -149 dB
 *   steady triangle                            -139 dB                  -163 dB
 *   linear modulation at 1.5 kHz, 4 kHz        -101 dB, -80 dB          -145 dB, -127 dB
 *   width modulation at 1.5 kHz, 2.2 kHz       -77 dB, -68 dB           -113 dB, -104 dB
 *   sync to a saw at 1.4 kHz, sine at 7 kHz    -77 dB, -71 dB           -142 dB, -130 dB
 */
import { EDGE_DELAY, EDGE_TABLE_BYTES, edgeFrames, fillEdgeTable } from '../../dsp/bandLimitedEdge';
import { isHeld, isPatched, read } from '../../dsp/block';
import { closeTails, connectSums, leftAfter, openTails, SUM_BYTES, shiftTails, TAIL_BYTES, TAIL_SLACK } from '../../dsp/edgeTails';
import { exp2, exp2Pair } from '../../dsp/exp2';
import { frameStep, frameStepPair, passesStart, placeOf, shortStepPair } from '../../dsp/phasePath';
import {
  clampPair,
  FREQUENCY,
  glideTrack,
  nextRise,
  PHASE,
  pair,
  STEP,
  steadyTrack,
  syncTrack,
  TRACK_BYTES,
  UPPER_PHASE,
  UPPER_WIDTH,
  upper,
  WIDTH,
} from '../../dsp/phaseTrack';
import { PULSE, putFrame, putWave, SAW, SINE, TRIANGLE } from '../../dsp/phaseWaves';
import { EdgeSums, passFrame, passSync, sawCorner, triangleCorner } from '../../dsp/waveEdges';
import { OSCILLATOR_SYNC, OscillatorPorts } from '../layouts.gen';

const TABLE = memory.data(EDGE_TABLE_BYTES, 16);
/** Scratch of one call. */
const TRACK = memory.data(TRACK_BYTES, 16);
/** Where edges go during a call. */
const EDGES = memory.data(64, 16);
/** What they add to the frames of a call and after it, for each output; all zero between calls. */
const SUMS = memory.data(SUM_BYTES * 4, 16);

const QUARTER: u64 = 1 << 62;

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
  /** On the last frame: phase, frequency, width, sync input; the two others one frame earlier. */
  phase: u64;
  frequency: f64;
  frequencyBefore: f64;
  width: f64;
  widthBefore: f64;
  sync: f32;
  /** 0 before the first frame. */
  started: i32;
  /** Where the tails begin: what past edges add to coming frames. */
  at: i32;
  /** For how many frames, by output (as all that follows in the order of the spec: sine, triangle, saw, pulse). */
  left: v128;
  /** Upper halves of phase and width on the last four frames, the newest last. */
  pastPhase: v128;
  pastWidth: v128;
  /** Tails, all zero but for the frames in use. */
  sine0: v128;
  sine1: v128;
  sine2: v128;
  sine3: v128;
  sine4: v128;
  sine5: v128;
  sine6: v128;
  sine7: v128;
  sine8: v128;
  triangle0: v128;
  triangle1: v128;
  triangle2: v128;
  triangle3: v128;
  triangle4: v128;
  triangle5: v128;
  triangle6: v128;
  triangle7: v128;
  triangle8: v128;
  saw0: v128;
  saw1: v128;
  saw2: v128;
  saw3: v128;
  saw4: v128;
  saw5: v128;
  saw6: v128;
  saw7: v128;
  saw8: v128;
  pulse0: v128;
  pulse1: v128;
  pulse2: v128;
  pulse3: v128;
  pulse4: v128;
  pulse5: v128;
  pulse6: v128;
  pulse7: v128;
  pulse8: v128;
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
    block.octaves +
    <f64>read(block.inputPitch, i) +
    <f64>read(block.inputPitch2, i) +
    block.settingFmExpAmount * <f64>read(block.inputFmExp, i);
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

// @ts-ignore: decorator
@inline
function pitchHeld(block: Oscillator, to: i32): bool {
  return isHeld(block.inputPitch, to) && isHeld(block.inputPitch2, to) && isHeld(block.inputFmExp, to);
}

/** FREQUENCY and STEP of frames from..to-1 at place k, in pairs (an odd count makes one more); in short loops with few values each. */
function frequencies(block: Oscillator, from: i32, to: i32, k: i32): void {
  const place = TRACK + FREQUENCY + ((<usize>k) << 3);
  const end = place + ((<usize>(to - from)) << 3);
  const fmLin = block.inputFmLin;
  const held = pitchHeld(block, to);
  if (!held) carriers(block, from, to, place);
  const top = f64x2.splat(block.limit);
  const bottom = f64x2.splat(-block.limit);
  const linear = f64x2.splat(block.linear);
  let before = f64x2.replace_lane(f64x2.splat(block.frequencyBefore), 1, block.frequency);
  v128.store(place - 16, before);
  if (held) {
    const carrier = f64x2.splat(block.base * powerAt(block, from));
    const slope = f64x2.mul(carrier, linear);
    for (let at = place, i = from; at < end; at += 16, i += 2) {
      const f = clampPair(f64x2.add(carrier, f64x2.mul(slope, pair(fmLin, i))), bottom, top);
      v128.store(at, f);
      v128.store(at + (STEP - FREQUENCY), shortStepPair(f, i64x2.shuffle(before, f, 1, 2), before));
      before = f;
    }
  } else {
    if (!isHeld(fmLin, to) || read(fmLin, from) != 0) {
      for (let at = place, i = from; at < end; at += 16, i += 2) {
        const carrier = v128.load(at);
        v128.store(at, f64x2.add(carrier, f64x2.mul(f64x2.mul(carrier, linear), pair(fmLin, i))));
      }
    }
    for (let at = place; at < end; at += 16) {
      const f = clampPair(v128.load(at), bottom, top);
      v128.store(at, f);
      v128.store(at + (STEP - FREQUENCY), shortStepPair(f, i64x2.shuffle(before, f, 1, 2), before));
      before = f;
    }
  }
  if (block.limit <= 0.42) return;
  for (let at = place; at < end; at += 16) {
    v128.store(at + (STEP - FREQUENCY), frameStepPair(v128.load(at), v128.load(at - 8), v128.load(at - 16)));
  }
}

/** base x 2^octaves of frames from..to-1, from `at` on. */
function carriers(block: Oscillator, from: i32, to: i32, at: usize): void {
  const base = f64x2.splat(block.base);
  const octaves = f64x2.splat(block.octaves);
  const amount = f64x2.splat(block.settingFmExpAmount);
  const pitch = block.inputPitch;
  const pitch2 = block.inputPitch2;
  const fmExp = block.inputFmExp;
  if (isHeld(pitch, to) && isHeld(pitch2, to)) {
    const sum = f64x2.add(f64x2.add(octaves, pair(pitch, from)), pair(pitch2, from));
    for (let i = from; i < to; i += 2, at += 16) {
      v128.store(at, f64x2.mul(base, exp2Pair(f64x2.add(sum, f64x2.mul(amount, pair(fmExp, i))))));
    }
    return;
  }
  for (let i = from; i < to; i += 2, at += 16) {
    const sum = f64x2.add(f64x2.add(octaves, pair(pitch, i)), pair(pitch2, i));
    v128.store(at, f64x2.mul(base, exp2Pair(f64x2.add(sum, f64x2.mul(amount, pair(fmExp, i))))));
  }
}

/** WIDTH of frames from..to-1 at place k. */
function widths(block: Oscillator, from: i32, to: i32, k: i32): void {
  const middle = f64x2.splat(block.settingWidth);
  const amount = f64x2.splat(block.widthPerVolt);
  const input = block.inputWidth;
  let at = TRACK + WIDTH + ((<usize>k) << 3);
  v128.store(at - 16, f64x2.replace_lane(f64x2.splat(block.widthBefore), 1, block.width));
  for (let i = from; i < to; i += 2, at += 16) {
    const share = f64x2.add(middle, f64x2.mul(amount, pair(input, i)));
    const kept = clampPair(share, f64x2.splat(0.01), f64x2.splat(0.99));
    v128.store(at, f64x2.sub(f64x2.add(kept, f64x2.splat(1572864)), f64x2.splat(1572864)));
  }
}

// --- phases ---

/** The first frame of all: phase 0; the slopes of saw and triangle begin here. */
function begin(block: Oscillator, edges: EdgeSums, i: i32): void {
  const f = frequencyAt(block, i);
  block.started = 1;
  block.frequency = f;
  block.frequencyBefore = f;
  block.width = widthAt(block, i);
  block.widthBefore = block.width;
  block.sync = read(block.inputSync, i);
  v128.store(TRACK + UPPER_WIDTH - 16, i32x4.splat(<i32>upper(placeOf(block.width))));
  sawCorner(edges, 0, 0, 10 * f * block.direction, 0);
  triangleCorner(edges, 0, 0, 20 * f * block.direction, 0);
}

/** One frame, whatever moves: frame i of the chunk, k of the sums. */
function frame(block: Oscillator, edges: EdgeSums, i: i32, k: i32): void {
  const pulse = edges.pulse != 0;
  const d = block.direction;
  const next = frequencyAt(block, i);
  const f1 = d * next;
  const f0 = d * block.frequency;
  const f2 = d * block.frequencyBefore;
  const w0 = block.width;
  const w2 = block.widthBefore;
  const w1 = pulse ? widthAt(block, i) : w0;
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
    const marks = passesStart(x, step) || <i64>((x - QUARTER) ^ (end - QUARTER)) < 0 || f1 * f0 < 0;
    const widthMarks = pulse && (w1 != w0 || w0 != w2 || x < placeOf(w0) != end < placeOf(w1));
    if (marks || widthMarks) passFrame(edges, k, x, step, f1, f0, f2, w1, w0, w2);
  }
  block.frequencyBefore = block.frequency;
  block.frequency = next;
  block.widthBefore = w0;
  block.width = w1;
  block.sync = s1;
}

/** Puts the frame just made into the track. */
function remember(block: Oscillator, k: i32): void {
  store<u32>(TRACK + ((<usize>k) << 2), upper(block.phase), UPPER_PHASE);
  store<u32>(TRACK + ((<usize>k) << 2), upper(placeOf(block.width)), UPPER_WIDTH);
}

/** Frames from..to-1 at place k of the track, whatever moves. */
function moving(block: Oscillator, edges: EdgeSums, from: i32, to: i32, k: i32): void {
  const sync = block.inputSync;
  const shift = k - from;
  frequencies(block, from, to, k);
  if (edges.pulse != 0) widths(block, from, to, k);
  store<u64>(TRACK + ((<usize>k) << 3) + PHASE - 8, block.phase);
  for (let i = from; i < to; i++) {
    const s0 = i == from ? block.sync : read(sync, i - 1);
    const rise = nextRise(sync, i, to, s0);
    if (rise > i) glideTrack(TRACK, edges, block.direction, i + shift, rise + shift);
    i = rise;
    if (rise == to) break;
    const before = rise == from ? block.sync : read(sync, rise - 1);
    const turn = block.settingSync != 0;
    syncTrack(TRACK, edges, block.direction, rise + shift, <f64>before / (<f64>before - <f64>read(sync, rise)), turn);
    if (turn) block.direction = -block.direction;
  }
  const last = TRACK + ((<usize>(to - 1 + shift)) << 3);
  block.phase = load<u64>(last, PHASE);
  block.frequency = load<f64>(last, FREQUENCY);
  block.frequencyBefore = load<f64>(last + FREQUENCY - 8);
  if (edges.pulse != 0) {
    block.width = load<f64>(last, WIDTH);
    block.widthBefore = load<f64>(last + WIDTH - 8);
  }
  block.sync = read(sync, to - 1);
}

/** Frames from..to-1: phases, widths and edges. */
function advance(block: Oscillator, edges: EdgeSums, from: i32, to: i32): void {
  const pulse = edges.pulse != 0;
  let i = from;
  if (block.started == 0) {
    begin(block, edges, i);
    remember(block, 0);
    i++;
  }
  const held =
    pitchHeld(block, to) && isHeld(block.inputFmLin, to) && isHeld(block.inputSync, to) && (!pulse || isHeld(block.inputWidth, to));
  if (!held) {
    if (i < to) moving(block, edges, i, to, i - from);
    return;
  }
  // Held inputs may have come from elsewhere: frame by frame until the curves have run out.
  for (; i < to; i++) {
    const f = frequencyAt(block, i);
    const w = pulse ? widthAt(block, i) : block.width;
    const still = f == block.frequency && f == block.frequencyBefore && read(block.inputSync, i) == block.sync;
    if (still && (!pulse || (w == block.width && w == block.widthBefore))) {
      block.phase = steadyTrack(TRACK, edges, block.phase, f * block.direction, w, i - from, to - i);
      return;
    }
    frame(block, edges, i, i - from);
    remember(block, i - from);
  }
}

/** Address of the tails of all outputs. */
// @ts-ignore: decorator
@inline
function tailsOf(block: Oscillator): usize {
  return changetype<usize>(block) + offsetof<Oscillator>('sine0');
}

// @ts-ignore: decorator
@inline
function outputsOf(block: Oscillator): v128 {
  return v128.load(changetype<usize>(block), offsetof<Oscillator>('outputSine'));
}

/** [audio thread] */
export function process(block: Oscillator, from: i32, to: i32): void {
  const edges = changetype<EdgeSums>(EDGES);
  if (block.settingSync == 0) block.direction = 1;
  if (to - from == 1 && block.started != 0) {
    tick(block, from, to);
    return;
  }
  const count = to - from;
  connectSums(edges, outputsOf(block), block.left, tailsOf(block), SUMS, SUM_BYTES);
  openTails(edges, tailsOf(block) + ((<usize>block.at) << 2), SUMS);
  block.at = 0;
  v128.store(TRACK + UPPER_PHASE - 16, block.pastPhase);
  v128.store(TRACK + UPPER_WIDTH - 16, block.pastWidth);

  advance(block, edges, from, to);

  const first = (<usize>from) << 2;
  const late = TRACK + UPPER_PHASE - EDGE_DELAY * 4;
  const widths = TRACK + UPPER_WIDTH - EDGE_DELAY * 4;
  const straight = isPatched(block, OSCILLATOR_SYNC) ? late : TRACK + UPPER_PHASE;
  if (edges.sine != 0) putWave(SINE, block.outputSine + first, straight, widths, edges.sine, edges.sineBusy, count);
  if (edges.triangle != 0) putWave(TRIANGLE, block.outputTriangle + first, late, widths, edges.triangle, edges.triangleBusy, count);
  if (edges.saw != 0) putWave(SAW, block.outputSaw + first, late, widths, edges.saw, edges.sawBusy, count);
  if (edges.pulse != 0) putWave(PULSE, block.outputPulse + first, late, widths, edges.pulse, edges.pulseBusy, count);

  block.pastPhase = v128.load(TRACK + UPPER_PHASE - 16 + ((<usize>count) << 2));
  block.pastWidth = v128.load(TRACK + UPPER_WIDTH - 16 + ((<usize>count) << 2));
  closeTails(edges, tailsOf(block), SUMS, count);
  block.left = leftAfter(edges, count);
}

/** One frame of it, in a loop: the same, with the edges added to the tails themselves. [audio thread] */
export function tick(block: Oscillator, i: i32, to: i32): void {
  if (block.started == 0) {
    process(block, i, to);
    return;
  }
  const edges = changetype<EdgeSums>(EDGES);
  if (block.settingSync == 0) block.direction = 1;
  const here = (<usize>i) << 2;
  const tails = tailsOf(block);
  connectSums(edges, outputsOf(block), block.left, tails, tails + ((<usize>block.at) << 2), TAIL_BYTES);
  frame(block, edges, i, 0);
  const past = block.pastPhase;
  const now = i32x4.splat(<i32>upper(block.phase));
  const late = i32x4.shuffle(past, past, 1, 1, 1, 1);
  if (edges.sine != 0) putFrame(SINE, block.outputSine + here, isPatched(block, OSCILLATOR_SYNC) ? late : now, late, edges.sine);
  if (edges.triangle != 0) putFrame(TRIANGLE, block.outputTriangle + here, late, late, edges.triangle);
  if (edges.saw != 0) putFrame(SAW, block.outputSaw + here, late, late, edges.saw);
  if (edges.pulse != 0) {
    const widths = block.pastWidth;
    putFrame(PULSE, block.outputPulse + here, late, i32x4.shuffle(widths, widths, 1, 1, 1, 1), edges.pulse);
    block.pastWidth = i32x4.shuffle(widths, i32x4.splat(<i32>upper(placeOf(block.width))), 1, 2, 3, 4);
  }
  block.pastPhase = i32x4.shuffle(past, now, 1, 2, 3, 4);
  block.left = leftAfter(edges, 1);
  block.at++;
  if (block.at < TAIL_SLACK) return;
  block.at = 0;
  shiftTails(tails);
}
