/**
 * Rectifier: full = |in|, positive = max(in, 0), negative = min(in, 0), so that positive + negative is the signal and positive - negative
 * is full. What comes out is late by the delay of the filters (see src/dsp/oversample.ts), exact for steady voltages.
 *
 * The input is raised to 160 kHz or more and rectified there by second-order antiderivative antialiasing (Bilbao, Esqueda, Parker and
 * Valimaki, IEEE Signal Processing Letters 24(7), 2017), here as the mean of |x| along straight lines between the frames, weighted by a
 * triangle two frames wide. For a line from a to b with a weight that rises from 0 to 1 that is
 *   |a / 6 + b / 3|                                          while the sign stays
 *   |a| t^2 / 3 - sign(a) (a / 6 + b / 3),  t = a / (a - b)  where it crosses 0
 * which is never ill-conditioned. Two taps before it and two behind it (src/dsp/oversample.ts) give back the treble that the straight
 * lines and the mean take. The signal itself goes the same way, for the parts.
 *
 * Why: a sine of 1244.51 Hz, signal to alias: plain 37 dB at 48 kHz and 66 dB at 192 kHz (there below 20 kHz), with the first antiderivative 44
 * and 90 dB, with the second at four times the rate 70 and at 192 kHz 112 dB.
 */
import { rail, read, write } from '../../dsp/block';
import { brighter, lower, OVERSAMPLE_BYTES, oversampling, raise, raisedAt, STRAIGHT_TAP, WORK_BYTES } from '../../dsp/oversample';
import { RectifierPorts } from '../layouts.gen';

/** The triangle takes as much treble as the straight lines. */
const TRIANGLE_TAP: f64 = STRAIGHT_TAP;
/** A constant far below hearing keeps the filters' states clear of denormal numbers; what is smaller still comes out as 0. */
const FLOOR: f64 = 1e-18;
const NOTHING: f64 = 1e-12;

@unmanaged
export class Rectifier extends RectifierPorts {
  factor: i32;

  // state: the last raised frame, the last two brightened ones, the last rectified and the last averaged one, then the filters up, down for
  // |in|, down for in
  raised: f64;
  last: f64;
  secondLast: f64;
  size: f64;
  mean: f64;
  up0: v128;
  up1: v128;
  up2: v128;
  up3: v128;
  up4: v128;
  up5: v128;
  up6: v128;
  downSize0: v128;
  downSize1: v128;
  downSize2: v128;
  downSize3: v128;
  downSize4: v128;
  downSize5: v128;
  downSize6: v128;
  downMean0: v128;
  downMean1: v128;
  downMean2: v128;
  downMean3: v128;
  downMean4: v128;
  downMean5: v128;
  downMean6: v128;
}

/** Scratch for |in| and for in. */
const SIZES = memory.data(WORK_BYTES, 16);
const MEANS = memory.data(WORK_BYTES, 16);

export function init(block: Rectifier): void {
  block.factor = oversampling(block.sampleRate);
}

export function update(block: Rectifier): void {}

/** Integral of |x| over a straight line from a (weight 0) to b (weight 1). */
// @ts-ignore: decorator
@inline
function line(a: v128, b: v128): v128 {
  const straight = f64x2.add(f64x2.mul(a, f64x2.splat(1.0 / 6)), f64x2.mul(b, f64x2.splat(1.0 / 3)));
  const crosses = f64x2.lt(f64x2.mul(a, b), f64x2.splat(0));
  const same = f64x2.abs(straight);
  if (!v128.any_true(crosses)) return same;
  const t = f64x2.div(a, f64x2.sub(a, b));
  const signed = v128.xor(straight, v128.and(a, f64x2.splat(-0.0)));
  const bent = f64x2.sub(f64x2.mul(f64x2.mul(f64x2.abs(a), f64x2.splat(1.0 / 3)), f64x2.mul(t, t)), signed);
  return v128.bitselect(bent, same, crosses);
}

/** Rectifies `count` raised frames at `sizes` in place and puts their means, equally late, at `means`. */
function shape(block: Rectifier, sizes: usize, means: usize, count: i32): void {
  let raised = f64x2.splat(block.raised);
  let frames = f64x2.replace_lane(f64x2.splat(block.last), 0, block.secondLast);
  let lastSize = f64x2.splat(block.size);
  let lastMean = f64x2.splat(block.mean);
  for (let n = 0; n < count; n += 2) {
    const next = v128.load(sizes);
    const x = brighter(next, v128.shuffle<f64>(raised, next, 1, 2), STRAIGHT_TAP);
    const before = v128.shuffle<f64>(frames, x, 1, 2);
    const size = f64x2.add(line(frames, before), line(x, before));
    const mean = f64x2.add(f64x2.mul(f64x2.add(frames, x), f64x2.splat(1.0 / 6)), f64x2.mul(before, f64x2.splat(2.0 / 3)));
    v128.store(sizes, f64x2.add(brighter(size, v128.shuffle<f64>(lastSize, size, 1, 2), TRIANGLE_TAP), f64x2.splat(FLOOR)));
    v128.store(means, f64x2.add(brighter(mean, v128.shuffle<f64>(lastMean, mean, 1, 2), TRIANGLE_TAP), f64x2.splat(FLOOR)));
    raised = next;
    lastSize = size;
    lastMean = mean;
    if (n + 2 <= count) {
      frames = x;
    } else {
      frames = before; // the second lane is idle
      raised = v128.shuffle<f64>(next, next, 0, 0);
      lastSize = v128.shuffle<f64>(size, size, 0, 0);
      lastMean = v128.shuffle<f64>(mean, mean, 0, 0);
    }
    sizes += 16;
    means += 16;
  }
  block.raised = f64x2.extract_lane(raised, 1);
  block.secondLast = f64x2.extract_lane(frames, 0);
  block.last = f64x2.extract_lane(frames, 1);
  block.size = f64x2.extract_lane(lastSize, 1);
  block.mean = f64x2.extract_lane(lastMean, 1);
}

// @ts-ignore: decorator
@inline
function volts(y: f64): f32 {
  return abs<f64>(y) < NOTHING ? 0 : rail(<f32>y);
}

/** [audio thread] */
export function process(block: Rectifier, from: i32, to: i32): void {
  const full = block.outputFull;
  const positive = block.outputPositive;
  const negative = block.outputNegative;
  if (full == 0 && positive == 0 && negative == 0) return;
  const count = to - from;
  const factor = block.factor;
  for (let n = 0; n < count; n++) store<f64>(SIZES + ((<usize>n) << 3), <f64>read(block.inputIn, from + n) + FLOOR);
  const filters = changetype<usize>(block) + offsetof<Rectifier>('up0');
  raise(filters, SIZES, factor, count);
  shape(block, raisedAt(SIZES, factor), raisedAt(MEANS, factor), count * factor);
  lower(filters + OVERSAMPLE_BYTES, SIZES, factor, count);
  lower(filters + 2 * OVERSAMPLE_BYTES, MEANS, factor, count);
  for (let n = 0; n < count; n++) {
    const size = load<f64>(SIZES + ((<usize>n) << 3));
    const mean = load<f64>(MEANS + ((<usize>n) << 3));
    if (full != 0) write(full, from + n, volts(size));
    if (positive != 0) write(positive, from + n, volts(0.5 * (mean + size)));
    if (negative != 0) write(negative, from + n, volts(0.5 * (mean - size)));
  }
}
