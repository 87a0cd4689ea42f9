/**
 * Reverb: a feedback delay network of 16 lines (J.-M. Jot and A. Chaigne, AES 90th Convention, 1991, preprint 3030).
 *   y_i = absorb_i(line_i(t - T_i)),  line = M y + input,  M orthogonal: without absorption nothing would be lost
 *
 * Absorption: a one-pole low-pass in each line with a gain of 10^(-3 T_i / decay) at low frequencies and 10^(-3 T_i / high) at
 * 5 kHz, high = decay x 10^(-damping), so that all lines die away together. No pass takes more than 16 dB from the highs beyond
 * that, so that the lows keep their time.
 *
 * M is a Hadamard matrix of 16 behind rotations in eight planes, which swing by 0.6 rad at a third to two thirds of a hertz
 * (time-varying matrices: S. Schlecht and E. Habets, JASA 138, 2015). Every M is orthogonal, so nothing is gained or lost by
 * the swing and pitches stay where they are on the average, and no resonance stands still long enough to ring by itself.
 * Between the angles of every 64th frame M goes straight, which can only lose (less than 0.00003 dB a pass).
 *
 * Four allpass sections per side in front of the lines make the echoes dense from the start.
 *
 * Lines are whole frames long, 39 to 200 ms at size 1, a fifth of that at size 0. While the size moves they travel there
 * through fractions of frames (Lagrange, four points), by at most a fifth of a frame per frame.
 *
 * The room's level is such that steady noise comes back as loud as it went in, whatever the decay (1 - g^2 is what the network
 * loses per pass). What comes in passes a 5 Hz high-pass first.
 *
 * Four lines are four lanes; four frames go in and out of the lines at a time.
 */
import { hold, isHeld, rail, read, sloped, vary, write } from '../../dsp/block';
import { charged, coupled, coupling } from '../../dsp/couple';
import { diffuse } from '../../dsp/diffuse';
import { exp2 } from '../../dsp/exp2';
import { BATCH, giveBatch, RINGS, ringAt, takeBatch, takeBetween } from '../../dsp/rings';
import { sine } from '../../dsp/sine';
import { ReverbPorts } from '../layouts.gen';

/** Seconds of the sixteen lines at size 1, and their mean. Each four in a row are four lanes. */
const LENGTHS = memory.data<f64>([
  0.0389, 0.0589, 0.0911, 0.1437, 0.0441, 0.0667, 0.1065, 0.1646, 0.0484, 0.0745, 0.1168, 0.1829, 0.0534, 0.0816, 0.1275, 0.2,
]);
const MEAN: f64 = 0.09998;
/** Seconds of the allpass sections in front of the lines, left and right. */
const SECTIONS: i32 = 4;
const DIFFUSERS = memory.data<f64>([0.0016, 0.0029, 0.0049, 0.0077, 0.0018, 0.0033, 0.0045, 0.0079]);
/** Seconds of each section's ring. */
const RING: f64 = 0.0085;
/** log2 of the longest room over the smallest. */
const SIZE_OCTAVES: f64 = 2.321928094887362;
/** log2(10^3) and log2(10). */
const SIXTY_DB: f64 = 9.965784284662087;
const TENTH: f64 = 3.321928094887362;
/** Frequency in hertz at which the decay of the highs is set. */
const HIGH: f64 = 5000;
/** Least share of the highs that a pass leaves, beyond what it takes from the lows. */
const DULLEST: f64 = 0.15;
/** Most frames by which a line's length changes in a frame, and the time constant of its way in seconds. */
const FASTEST: f64 = 0.2;
const FOLLOW: f64 = 0.03;
/** Time constant of the room's level in seconds. */
const LEVEL: f64 = 0.02;
/** Frames between two angles (a power of two), swing in cycles, and the four planes' rates in hertz and starting phases. */
const PIECE: i32 = 64;
const SWING: f64 = 0.6 / (2 * Math.PI);
const RATES = memory.data<f64>([0.31, 0.43, 0.53, 0.67]);
const PHASES = memory.data<f64>([0, 0.29, 0.61, 0.83]);

// Signs with which lines take in (left: lanes of vectors 0 and 2, right: 1 and 3) and give out; left and right are orthogonal.
const TAKE = memory.data<f32>([1, -1, 1, 1, -1, 1, 1, -1], 16);
const GIVE_LEFT = memory.data<f32>([1, -1, -1, 1, 1, 1, -1, 1, -1, 1, 1, 1, 1, -1, 1, -1], 16);
const GIVE_RIGHT = memory.data<f32>([1, -1, -1, -1, -1, 1, 1, 1, 1, 1, -1, 1, 1, 1, -1, 1], 16);
/** In-lane sums and differences of the Hadamard matrix. */
const SIGNS1 = memory.data<f32>([1, -1, 1, -1], 16);
const SIGNS2 = memory.data<f32>([1, 1, -1, -1], 16);

/** Four frames of sixteen lines, frame by frame: out of the lines and into them. */
const COMING = memory.data(BATCH * RINGS * 4, 16);
const GOING = memory.data(BATCH * RINGS * 4, 16);
/** What comes in and, as four lanes still to be added up, what goes out, per frame. */
const IN_LEFT = memory.data(BATCH * 4, 16);
const IN_RIGHT = memory.data(BATCH * 4, 16);
const OUT_LEFT = memory.data(BATCH * 16, 16);
const OUT_RIGHT = memory.data(BATCH * 16, 16);

@unmanaged
export class Reverb extends ReverbPorts {
  // coefficients; absorb: y = gain x + pole y
  size: i32; // frames of each line's ring
  span: i32; // frames of each allpass section's ring
  coupling: f64;
  level: f64;
  follow: f64;
  followLevel: f64;
  gain0: v128;
  gain1: v128;
  gain2: v128;
  gain3: v128;
  pole0: v128;
  pole1: v128;
  pole2: v128;
  pole3: v128;
  delay0: v128; // frames of the allpass sections, left and right, i32
  delay1: v128;
  target0: v128; // lengths in whole frames, i32
  target1: v128;
  target2: v128;
  target3: v128;
  // state
  y0: v128;
  y1: v128;
  y2: v128;
  y3: v128;
  length0: v128; // lengths now, f64
  length1: v128;
  length2: v128;
  length3: v128;
  length4: v128;
  length5: v128;
  length6: v128;
  length7: v128;
  cosine: v128; // at the start of this piece, and change per frame
  cosineStep: v128;
  sine: v128;
  sineStep: v128;
  frame: i64; // engine frames done
  at: i32; // next frame of the lines to be written
  place: i32; // and of the allpass sections
  busy: i32; // is there anything in the frames of the allpass sections just written?
  blanks: i32; // frames in a row in which nothing went into the lines, as far as counted
  charge1: f64;
  charge2: f64;
  volume: f64; // the room's level, on its way to `level`
}

export function update(block: Reverb): void {
  const rate = block.sampleRate;
  block.span = <i32>ceil<f64>(RING * rate * 0.25) * 4;
  block.size = (((block.memoryFrames - 2 * SECTIONS * (block.span + BATCH)) / RINGS) & ~3) - BATCH;
  block.coupling = coupling(rate);
  block.follow = 1 - exp2(-Math.LOG2E / (FOLLOW * rate));
  block.followLevel = 1 - exp2(-Math.LOG2E / (LEVEL * rate));
  const scale = exp2(SIZE_OCTAVES * (block.settingSize - 1));
  const perSecond = SIXTY_DB / block.settingDecay;
  const highs = perSecond * (exp2(TENTH * block.settingDamping) - 1);
  const cosine = sine(HIGH / rate + 0.25);
  const gains = changetype<usize>(block) + offsetof<Reverb>('gain0');
  const poles = changetype<usize>(block) + offsetof<Reverb>('pole0');
  const targets = changetype<usize>(block) + offsetof<Reverb>('target0');
  for (let i = 0; i < RINGS; i++) {
    const seconds = scale * load<f64>(LENGTHS + ((<usize>i) << 3));
    const left = max<f64>(exp2(-highs * seconds), DULLEST);
    const square = left * left;
    // |(1 - p) / (1 - p z^-1)| = left at 5 kHz
    const half = (1 - square * cosine) / (1 - square);
    const pole = square < 1 ? half - sqrt(half * half - 1) : 0;
    const at = (<usize>i) << 2;
    store<i32>(targets + at, <i32>nearest<f64>(seconds * rate));
    store<f32>(poles + at, <f32>pole);
    store<f32>(gains + at, <f32>(0.25 * exp2(-perSecond * seconds) * (1 - pole))); // a quarter: the Hadamard matrix is 4 times orthogonal
  }
  const delays = changetype<usize>(block) + offsetof<Reverb>('delay0');
  for (let i: usize = 0; i < 2 * <usize>SECTIONS; i++) {
    store<i32>(delays + (i << 2), <i32>nearest<f64>(load<f64>(DIFFUSERS + (i << 3)) * rate));
  }
  block.level = sqrt(1 - exp2(-2 * perSecond * scale * MEAN));
}

/** Makes the lengths what they should be, without a way. */
function start(block: Reverb): void {
  const targets = changetype<usize>(block) + offsetof<Reverb>('target0');
  const lengths = changetype<usize>(block) + offsetof<Reverb>('length0');
  for (let i: usize = 0; i < <usize>RINGS; i++) store<f64>(lengths + (i << 3), <f64>load<i32>(targets + (i << 2)));
  block.volume = block.level;
}

/** Are all lines as long as they should be? */
function isSettled(block: Reverb): bool {
  const targets = changetype<usize>(block) + offsetof<Reverb>('target0');
  const lengths = changetype<usize>(block) + offsetof<Reverb>('length0');
  let moving = f64x2.splat(0);
  for (let i: usize = 0; i < <usize>RINGS; i += 2) {
    const target = f64x2.convert_low_i32x4_s(v128.load64_zero(targets + (i << 2)));
    moving = v128.or(moving, f64x2.ne(v128.load(lengths + (i << 3)), target));
  }
  return !v128.any_true(moving);
}

export function process(block: Reverb, from: i32, to: i32): void {
  if (block.frame == 0) start(block);
  let settled = isSettled(block);
  if (settled && restsEmpty(block, from, to)) return;
  if (block.outputLeft != 0) vary(block.outputLeft, from);
  if (block.outputRight != 0) vary(block.outputRight, from);
  const targets = changetype<usize>(block) + offsetof<Reverb>('target0');
  let i = from;
  while (i < to) {
    const place = <i32>(block.frame & <i64>(PIECE - 1));
    if (place == 0) swing(block, block.frame);
    const count = min<i32>(min<i32>(BATCH, to - i), BATCH - (place & (BATCH - 1))); // rings and pieces end with a batch
    if (!settled) {
      travel(block, count);
      settled = isSettled(block);
    } else takeBatch(COMING, block.memory, block.size, block.at, targets, count);
    bringIn(block, i, count);
    mixLines(block, place, count);
    giveBatch(GOING, block.memory, block.size, block.at, count);
    put(block, i, count);
    block.place = block.place + count == block.span ? 0 : block.place + count;
    block.at = block.at + count == block.size ? 0 : block.at + count;
    block.frame += <i64>count;
    i += count;
  }
}

/** Cosines and sines of the piece that starts at `frame`. */
function swing(block: Reverb, frame: i64): void {
  for (let j: usize = 0; j < 4; j++) {
    const rate = load<f64>(RATES + (j << 3)) / block.sampleRate;
    const phase = load<f64>(PHASES + (j << 3));
    const angle = SWING * sine(rate * <f64>frame + phase);
    const next = SWING * sine(rate * <f64>(frame + <i64>PIECE) + phase);
    const c = <f32>sine(angle + 0.25),
      s = <f32>sine(angle);
    const at = changetype<usize>(block) + (j << 2);
    store<f32>(at, c, offsetof<Reverb>('cosine'));
    store<f32>(at, s, offsetof<Reverb>('sine'));
    store<f32>(at, (<f32>sine(next + 0.25) - c) / <f32>PIECE, offsetof<Reverb>('cosineStep'));
    store<f32>(at, (<f32>sine(next) - s) / <f32>PIECE, offsetof<Reverb>('sineStep'));
  }
}

/** Frames out of lines that travel to new lengths. */
function travel(block: Reverb, count: i32): void {
  const targets = changetype<usize>(block) + offsetof<Reverb>('target0');
  const lengths = changetype<usize>(block) + offsetof<Reverb>('length0');
  for (let k = 0; k < count; k++) {
    for (let i = 0; i < RINGS; i++) {
      const target = <f64>load<i32>(targets + ((<usize>i) << 2));
      const at = lengths + ((<usize>i) << 3);
      const way = target - load<f64>(at);
      const step = min<f64>(max<f64>(block.follow * way, -FASTEST), FASTEST);
      const length = abs<f64>(way) < 0.001 ? target : load<f64>(at) + step;
      store<f64>(at, length);
      const place = block.at + k;
      store<f32>(COMING + ((<usize>(k * RINGS + i)) << 2), takeBetween(ringAt(block.memory, block.size, i), block.size, place, length));
    }
  }
}

/** What comes in, through the 5 Hz high-pass and the allpass sections. */
function bringIn(block: Reverb, i: i32, count: i32): void {
  const g = block.coupling;
  for (let k = 0; k < count; k++) {
    const left = <f64>read(block.inputLeft, i + k),
      right = <f64>read(block.inputRight, i + k);
    write(IN_LEFT, k, <f32>coupled(block.charge1, left, g));
    write(IN_RIGHT, k, <f32>coupled(block.charge2, right, g));
    block.charge1 = charged(block.charge1, left, g);
    block.charge2 = charged(block.charge2, right, g);
  }
  const rings = ringAt(block.memory, block.size, RINGS);
  const delays = changetype<usize>(block) + offsetof<Reverb>('delay0');
  let busy = false;
  for (let k = 0; k < 2 * SECTIONS; k++) {
    const ring = rings + ((<usize>(k * (block.span + BATCH))) << 2);
    const signal = k < SECTIONS ? IN_LEFT : IN_RIGHT;
    if (diffuse(signal, count, ring, block.span, block.place, load<i32>(delays + ((<usize>k) << 2)))) busy = true;
  }
  block.busy = busy ? 1 : 0;
}

/** y = gain x + pole y, too small values to 0 so that they never turn denormal. */
// @ts-ignore: decorator
@inline
function absorb(x: v128, y: v128, gain: v128, pole: v128): v128 {
  const next = f32x4.add(f32x4.mul(gain, x), f32x4.mul(pole, y));
  return v128.and(next, f32x4.gt(f32x4.abs(next), f32x4.splat(1e-15)));
}

/** Hadamard matrix of order 4 on the lanes. */
// @ts-ignore: decorator
@inline
function spread(x: v128): v128 {
  const pairs = f32x4.add(f32x4.mul(x, v128.load(SIGNS1)), v128.shuffle<f32>(x, x, 1, 0, 3, 2));
  return f32x4.add(f32x4.mul(pairs, v128.load(SIGNS2)), v128.shuffle<f32>(pairs, pairs, 2, 3, 0, 1));
}

/** Sum of four vectors times the signs at `signs`. */
// @ts-ignore: decorator
@inline
function gather(y0: v128, y1: v128, y2: v128, y3: v128, signs: usize): v128 {
  return f32x4.add(
    f32x4.add(f32x4.mul(y0, v128.load(signs)), f32x4.mul(y1, v128.load(signs, 16))),
    f32x4.add(f32x4.mul(y2, v128.load(signs, 32)), f32x4.mul(y3, v128.load(signs, 48))),
  );
}

/** Absorption, matrix, input and output of up to four frames; `place` is the first one's in its piece. */
function mixLines(block: Reverb, place: i32, count: i32): void {
  const gain0 = block.gain0,
    gain1 = block.gain1,
    gain2 = block.gain2,
    gain3 = block.gain3;
  const pole0 = block.pole0,
    pole1 = block.pole1,
    pole2 = block.pole2,
    pole3 = block.pole3;
  let y0 = block.y0,
    y1 = block.y1,
    y2 = block.y2,
    y3 = block.y3;
  let any = f32x4.splat(0);
  for (let k = 0; k < count; k++) {
    const at = COMING + ((<usize>k) << 6),
      to = GOING + ((<usize>k) << 6);
    y0 = absorb(v128.load(at), y0, gain0, pole0);
    y1 = absorb(v128.load(at, 16), y1, gain1, pole1);
    y2 = absorb(v128.load(at, 32), y2, gain2, pole2);
    y3 = absorb(v128.load(at, 48), y3, gain3, pole3);
    v128.store(OUT_LEFT + ((<usize>k) << 4), gather(y0, y1, y2, y3, GIVE_LEFT));
    v128.store(OUT_RIGHT + ((<usize>k) << 4), gather(y0, y1, y2, y3, GIVE_RIGHT));
    const moment = f32x4.splat(<f32>(place + k));
    const c = f32x4.add(block.cosine, f32x4.mul(moment, block.cosineStep));
    const s = f32x4.add(block.sine, f32x4.mul(moment, block.sineStep));
    const z0 = f32x4.add(f32x4.mul(c, y0), f32x4.mul(s, y1)),
      z1 = f32x4.sub(f32x4.mul(c, y1), f32x4.mul(s, y0));
    const z2 = f32x4.sub(f32x4.mul(c, y2), f32x4.mul(s, y3)),
      z3 = f32x4.add(f32x4.mul(c, y3), f32x4.mul(s, y2));
    const a0 = f32x4.add(z0, z1),
      a1 = f32x4.sub(z0, z1),
      a2 = f32x4.add(z2, z3),
      a3 = f32x4.sub(z2, z3);
    const left = v128.load32_splat(IN_LEFT + ((<usize>k) << 2)),
      right = v128.load32_splat(IN_RIGHT + ((<usize>k) << 2));
    const h0 = f32x4.add(spread(f32x4.add(a0, a2)), f32x4.mul(left, v128.load(TAKE)));
    const h1 = f32x4.add(spread(f32x4.add(a1, a3)), f32x4.mul(right, v128.load(TAKE)));
    const h2 = f32x4.add(spread(f32x4.sub(a0, a2)), f32x4.mul(left, v128.load(TAKE, 16)));
    const h3 = f32x4.add(spread(f32x4.sub(a1, a3)), f32x4.mul(right, v128.load(TAKE, 16)));
    v128.store(to, h0);
    v128.store(to, h1, 16);
    v128.store(to, h2, 32);
    v128.store(to, h3, 48);
    any = v128.or(any, v128.or(v128.or(h0, h1), v128.or(h2, h3)));
  }
  block.y0 = y0;
  block.y1 = y1;
  block.y2 = y2;
  block.y3 = y3;
  const nothing = !v128.any_true(f32x4.ne(any, f32x4.splat(0))) && block.busy == 0;
  block.blanks = nothing ? min<i32>(block.blanks + count, block.size) : 0;
}

// @ts-ignore: decorator
@inline
function sumAt(signal: usize): f32 {
  return load<f32>(signal) + load<f32>(signal, 4) + (load<f32>(signal, 8) + load<f32>(signal, 12));
}

/** out = in + mix (room - in). */
// @ts-ignore: decorator
@inline
function put(block: Reverb, i: i32, count: i32): void {
  const glides = block.slopeMix != 0;
  let mix = <f32>block.settingMix;
  for (let k = 0; k < count; k++) {
    if (block.volume != block.level) {
      const way = block.level - block.volume;
      block.volume = abs<f64>(way) < 1e-6 ? block.level : block.volume + block.followLevel * way;
    }
    if (glides) mix = <f32>sloped(block, block.settingMix, block.slopeMix, i + k);
    const volume = <f32>block.volume;
    const left = block.outputLeft,
      right = block.outputRight;
    if (left != 0) {
      const x = read(block.inputLeft, i + k);
      write(left, i + k, mix == 0 ? x : rail(x + mix * (volume * sumAt(OUT_LEFT + ((<usize>k) << 4)) - x)));
    }
    if (right != 0) {
      const x = read(block.inputRight, i + k);
      write(right, i + k, mix == 0 ? x : rail(x + mix * (volume * sumAt(OUT_RIGHT + ((<usize>k) << 4)) - x)));
    }
  }
}

/** True, and the range is done, if nothing comes in, nothing is in the lines and nothing moves. */
function restsEmpty(block: Reverb, from: i32, to: i32): bool {
  if (block.blanks < block.size || block.charge1 != 0 || block.charge2 != 0 || block.volume != block.level) return false;
  const left = block.inputLeft,
    right = block.inputRight;
  if (!isHeld(left, to) || !isHeld(right, to) || read(left, from) != 0 || read(right, from) != 0) return false;
  if (block.outputLeft != 0) hold(block.outputLeft, from, to, 0);
  if (block.outputRight != 0) hold(block.outputRight, from, to, 0);
  const piece = block.frame & ~(<i64>(PIECE - 1));
  block.frame += <i64>(to - from);
  const now = block.frame & ~(<i64>(PIECE - 1));
  if (now != piece) swing(block, now);
  block.at = <i32>(block.frame % <i64>block.size);
  block.place = <i32>(block.frame % <i64>block.span);
  return true;
}
