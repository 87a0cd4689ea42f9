/**
 * Random voltage. Each clock draws bias + spread x u, u uniform in -1..1. `stepped` holds the draw; `smooth` goes there from where
 * it stands in a raised cosine, (1 - cos pi x) / 2 over x from 0 to 1; `gate` is high for half the interval with probability `chance`.
 *
 * The own clock counts ticks from an anchor that moves only when the rate does: tick k falls on frame anchor + round((k - tick of
 * the anchor) x frames per tick), so that nothing is accumulated at a constant rate. An outside clock gives its last interval;
 * until that is known, smooth waits where it stands and a gate lasts as long as the clock is high.
 */
import { hold, isHeld, isPatched, rail, read, sloped, vary } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { exp2 } from '../../dsp/exp2';
import { putGate, putVolts } from '../../dsp/pulse';
import { drawBipolar, drawUnit, streamOf } from '../../dsp/random';
import { sine, sinePair } from '../../dsp/sine';
import { frameOf, sooner } from '../../dsp/time';
import { RANDOM_CLOCK, RandomPorts } from '../layouts.gen';

/** Fewest frames between ticks of the own clock, so that a gate has a high and a low one; the rate stops rising there. */
const FASTEST: f64 = 2;
/** A gate that falls with the outside clock. */
const WITH_CLOCK: i64 = i64.MAX_VALUE;

@unmanaged
export class Random extends RandomPorts {
  /** Frames per tick of the own clock with 0 V at rate. */
  base: f64;
  values: u64;
  lots: u64;

  clockHigh: i32;
  /** An outside clock is patched. */
  locked: i32;
  /** Absolute frame of the next frame to come. */
  now: i64;
  /** Clocks since the start, the number of the next draw. */
  draws: i64;
  // outside clock: absolute frame of its last edge, -1 before the first, and frames between the last two (0 = not known)
  edge: i64;
  interval: i64;
  // own clock: number of the next tick, and the anchor
  tick: f64;
  anchorTick: f64;
  anchorFrame: i64;
  framesPerTick: f64;
  /** Absolute frames on which the gate rose and falls; low where the latter is past. */
  gateRose: i64;
  gateFall: i64;
  // the way of smooth: its share x covered at absolute frame n is start + (n - frame) x step
  wayFrom: f64;
  wayTo: f64;
  wayStart: f64;
  wayFrame: i64;
  wayStep: f64;
  stepped: f32;
  pad0: i32;
}

export function init(block: Random): void {
  block.values = streamOf(block.seed, 0);
  block.lots = streamOf(block.seed, 1);
  block.edge = -1;
}

/** [audio thread] */
export function update(block: Random): void {
  block.base = block.sampleRate / block.settingRate;
}

/** Share of smooth's way covered at an absolute frame, not limited. */
// @ts-ignore: decorator
@inline
function covered(block: Random, frame: i64): f64 {
  return block.wayStart + <f64>(frame - block.wayFrame) * block.wayStep;
}

/** Where smooth is at an absolute frame. */
function smoothAt(block: Random, frame: i64): f64 {
  const x = covered(block, frame);
  if (x >= 1) return block.wayTo;
  return block.wayFrom + (block.wayTo - block.wayFrom) * (0.5 - 0.5 * sine(0.25 + 0.5 * max<f64>(x, 0)));
}

/** Draws at frame i of the chunk; answers whether the gate opens. */
function draw(block: Random, i: i32): bool {
  const bias = sloped(block, block.settingBias, block.slopeBias, i);
  const spread = sloped(block, block.settingSpread, block.slopeSpread, i);
  block.stepped = rail(<f32>(bias + spread * drawBipolar(block.values, block.draws)));
  const opens = drawUnit(block.lots, block.draws) < sloped(block, block.settingChance, block.slopeChance, i);
  block.draws += 1;
  return opens;
}

function setOut(block: Random, from: f64, to: f64, start: f64, step: f64): void {
  block.wayFrom = from;
  block.wayTo = to;
  block.wayStart = start;
  block.wayFrame = block.now;
  block.wayStep = step;
}

/** Changes between the own and an outside clock; smooth waits where it stands. */
function change(block: Random, locked: bool): void {
  const here = smoothAt(block, block.now);
  setOut(block, here, here, 0, 0);
  block.locked = locked ? 1 : 0;
  block.clockHigh = 0;
  block.edge = -1;
  block.interval = 0;
  block.gateFall = block.now;
  block.tick = 0;
  block.anchorTick = 0;
  block.anchorFrame = block.now;
  block.framesPerTick = 0;
}

function clockRises(block: Random, i: i32): void {
  const now = block.now;
  if (block.edge >= 0) block.interval = now - block.edge;
  block.edge = now;
  const here = smoothAt(block, now);
  const opens = draw(block, i);
  const interval = <f64>block.interval;
  if (interval > 0) setOut(block, here, <f64>block.stepped, 0, 1 / interval);
  if (!opens) block.gateFall = now;
  else block.gateFall = interval > 0 ? now + max<i64>(frameOf(0.5 * interval), 1) : WITH_CLOCK;
}

/** Absolute frame of a place counted in ticks of the own clock. */
// @ts-ignore: decorator
@inline
function frameAt(block: Random, tick: f64): i64 {
  return block.anchorFrame + frameOf((tick - block.anchorTick) * block.framesPerTick);
}

/** Puts the own clock's rate at frame i, and what follows from it: the share of the way and the fall of the gate. */
function setRate(block: Random, i: i32): void {
  const volts = <f64>read(block.inputRate, i);
  const framesPerTick = max<f64>(block.base * exp2(-block.settingRateAmount * volts), FASTEST);
  if (framesPerTick == block.framesPerTick) return;
  const now = block.now;
  if (block.framesPerTick > 0) block.anchorTick += <f64>(now - block.anchorFrame) / block.framesPerTick;
  block.anchorFrame = now;
  block.framesPerTick = framesPerTick;
  if (block.tick == 0) return;
  block.wayStart = block.anchorTick - (block.tick - 1);
  block.wayFrame = now;
  block.wayStep = 1 / framesPerTick;
  if (block.gateFall > now) block.gateFall = ownFall(block);
}

/** Absolute frame at which a gate that rose at the last tick falls. */
// @ts-ignore: decorator
@inline
function ownFall(block: Random): i64 {
  return max<i64>(frameAt(block, block.tick - 0.5), block.gateRose + 1);
}

function ownTick(block: Random, i: i32): void {
  const now = block.now;
  const here = block.tick > 0 ? block.wayTo : smoothAt(block, now); // a whole tick is a whole way
  const start = block.anchorTick + <f64>(now - block.anchorFrame) / block.framesPerTick - block.tick;
  const opens = draw(block, i);
  setOut(block, here, <f64>block.stepped, start, 1 / block.framesPerTick);
  block.tick += 1;
  block.gateRose = now;
  block.gateFall = opens ? ownFall(block) : now;
}

/** [audio thread] */
export function process(block: Random, from: i32, to: i32): void {
  const locked = isPatched(block, RANDOM_CLOCK);
  if (locked != (block.locked != 0)) change(block, locked);
  let clockAt = locked ? nextChange(block.inputClock, from, to, block.clockHigh) : to;
  let i = from;
  while (i < to) {
    const now = block.now;
    let n: i32;
    if (locked) {
      if (clockAt == i) {
        block.clockHigh ^= 1;
        if (block.clockHigh) clockRises(block, i);
        else if (block.gateFall == WITH_CLOCK) block.gateFall = now;
        clockAt = nextChange(block.inputClock, i + 1, to, block.clockHigh);
      }
      n = clockAt;
    } else {
      setRate(block, i);
      if (frameAt(block, block.tick) <= now) ownTick(block, i);
      n = isHeld(block.inputRate, to) ? sooner(to, frameAt(block, block.tick), now, i) : i + 1;
    }
    if (block.gateFall > now) n = sooner(n, block.gateFall, now, i);
    putGate(block.outputGate, i, n, block.gateFall > now);
    putVolts(block.outputStepped, i, n, block.stepped);
    if (block.outputSmooth != 0) smooth(block, i, n);
    block.now += n - i;
    i = n;
  }
}

/** Writes smooth over a range in which neither its way nor its pace changes. */
function smooth(block: Random, from: i32, to: i32): void {
  const out = block.outputSmooth;
  if (block.wayFrom == block.wayTo || block.wayStep == 0 || covered(block, block.now) >= 1) {
    hold(out, from, to, <f32>smoothAt(block, block.now));
    return;
  }
  vary(out, from);
  const first = <f64>(block.now - block.wayFrame);
  const starts = f64x2.splat(block.wayStart);
  const paces = f64x2.splat(block.wayStep);
  const froms = f64x2.splat(block.wayFrom);
  const ends = f64x2.splat(block.wayTo);
  const distances = f64x2.splat(block.wayTo - block.wayFrom);
  const half = f64x2.splat(0.5);
  let frames = f64x2(first, first + 1);
  for (let i = from; i < to; i += 2) {
    const x = f64x2.add(starts, f64x2.mul(frames, paces));
    const turn = f64x2.add(f64x2.splat(0.25), f64x2.mul(half, f64x2.pmax(f64x2.splat(0), x)));
    const share = f64x2.sub(half, f64x2.mul(half, sinePair(turn)));
    const way = f64x2.add(froms, f64x2.mul(distances, share));
    const volts = f32x4.demote_f64x2_zero(v128.bitselect(ends, way, f64x2.ge(x, f64x2.splat(1))));
    if (i + 2 <= to) v128.store64_lane(out + ((<usize>i) << 2), volts, 0);
    else store<f32>(out + ((<usize>i) << 2), f32x4.extract_lane(volts, 0));
    frames = f64x2.add(frames, f64x2.splat(2));
  }
}
