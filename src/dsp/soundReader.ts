/**
 * Band-limited reading of a sound in memory at any place and speed (AssemblyScript).
 *
 * The value between two samples is their sum weighted with a sinc under a Kaiser window of 32 zero crossings on each side
 * (beta 10: side bands 100 dB down, passband to 0.45 of the rate). Read faster than one sample per frame, the sinc is stretched
 * and lowered by the speed, so that what would lie above half the frame rate is taken out instead of folding down.
 * At speeds up to 1 the weights of all samples stand side by side in one row per place (polyphase), 512 places between two
 * samples; above, each weight is looked up in the half sinc. Between table entries both go in a straight line (-106 dB).
 * On a sample itself, at speeds up to 1, the weights are 1 and 0 and the sample comes out as it is.
 *
 * Sources: J. O. Smith, P. Gossett, "A flexible sampling-rate conversion method", ICASSP 1984; J. F. Kaiser, "Nonrecursive
 * digital filter design using the I0-sinh window function", ISCAS 1974.
 */
import { sine } from './sine';

/** Zero crossings on each side. */
const REACH: i32 = 32;
/** Places between two zero crossings. */
const PLACES: i32 = 512;
const BETA: f64 = 10;
/** Weights in a row: samples i - 31 to i + 32 make what lies between i and i + 1. */
const ROW: i32 = 2 * REACH;
/** Most samples per frame that the sinc is stretched for; what is read faster than this folds. */
const MOST_STRETCH: f64 = 32;
/** Zeros behind the half sinc, for the samples that fill up a group of four. */
const SLACK: i32 = 5 * PLACES;
const MOST_SAMPLES: i32 = 2 * REACH * 32 + 8;
/** Terms of the power series of I0: 1e-12 of its greatest value remain. */
const TERMS: i32 = 26;

const ROWS = memory.data((PLACES + 1) * ROW * 4, 16);
const HALF = memory.data((REACH * PLACES + SLACK) * 4, 16);
const SERIES = memory.data(TERMS * 8, 16);
/** Samples beyond the ends of the sound, or round its loop. */
const AROUND_LEFT = memory.data(MOST_SAMPLES * 4, 16);
const AROUND_RIGHT = memory.data(MOST_SAMPLES * 4, 16);

/** What `readSound` found. */
export let soundLeft: f32 = 0;
export let soundRight: f32 = 0;

/** Fills the tables; later calls do nothing. */
export function prepareSoundReader(): void {
  if (load<f32>(HALF) != 0) return;
  let term: f64 = 1;
  let whole: f64 = 0;
  for (let k = 0; k < TERMS; k++) {
    store<f64>(SERIES + ((<usize>k) << 3), term);
    whole += term;
    term *= (BETA * BETA) / (4 * <f64>((k + 1) * (k + 1)));
  }
  for (let p = 0; p < PLACES; p++) {
    const sin = sine(<f64>p / <f64>(2 * PLACES));
    for (let k = 0; k < REACH; k++) {
      const t = <f64>k + <f64>p / <f64>PLACES;
      const sinc = t == 0 ? 1 : ((k & 1) != 0 ? -sin : sin) / (Math.PI * t);
      const across = t / <f64>REACH;
      const inside = 1 - across * across;
      let bessel: f64 = 0;
      for (let n = TERMS - 1; n >= 0; n--) bessel = bessel * inside + load<f64>(SERIES + ((<usize>n) << 3));
      store<f32>(HALF + ((<usize>(k * PLACES + p)) << 2), <f32>(sinc * (bessel / whole)));
    }
  }
  for (let p = 0; p <= PLACES; p++) {
    for (let k = 0; k < ROW; k++) {
      const distance = (k - (REACH - 1)) * PLACES - p;
      store<f32>(ROWS + ((<usize>(p * ROW + k)) << 2), load<f32>(HALF + ((<usize>abs<i32>(distance)) << 2)));
    }
  }
}

/** A sound and the part of it that repeats. */
@unmanaged
export class Sound {
  /** Address of the left channel's float32; the right one follows behind `frames`. */
  left: usize;
  right: usize;
  frames: i32;
  /** The end is followed by `loopStart`. */
  looping: i32;
  loopStart: i32;
  /** What stands before `loopStart` is the end. */
  wrapped: i32;
}

/**
 * Finds both channels at `position` (in samples of the sound, any value) as read at `speed` (samples per frame, above 0).
 * Beyond the ends there is silence.
 */
export function readSound(sound: Sound, position: f64, speed: f64): void {
  const at = floor<f64>(position);
  const between = position - at;
  const sample = <i32>at;
  if (speed > 1) readStretched(sound, position, min<f64>(speed, MOST_STRETCH));
  else if (between == 0) {
    look(sound, sample, 1);
    soundLeft = load<f32>(seenLeft);
    soundRight = load<f32>(seenRight);
  } else readBetween(sound, sample, between);
}

function readBetween(sound: Sound, sample: i32, between: f64): void {
  const place = between * <f64>PLACES;
  const row = <i32>place;
  look(sound, sample - (REACH - 1), ROW);
  const share = f32x4.splat(<f32>(place - <f64>row));
  let weights = ROWS + ((<usize>(row * ROW)) << 2);
  let left = seenLeft;
  let right = seenRight;
  const end = left + <usize>(ROW * 4);
  let sumLeft = f32x4.splat(0);
  let sumRight = f32x4.splat(0);
  for (; left < end; left += 16, right += 16, weights += 16) {
    const a = v128.load(weights);
    const weight = f32x4.add(a, f32x4.mul(share, f32x4.sub(v128.load(weights, ROW * 4), a)));
    sumLeft = f32x4.add(sumLeft, f32x4.mul(weight, v128.load(left)));
    sumRight = f32x4.add(sumRight, f32x4.mul(weight, v128.load(right)));
  }
  soundLeft = sumOf(sumLeft);
  soundRight = sumOf(sumRight);
}

function readStretched(sound: Sound, position: f64, stretch: f64): void {
  const reach = <f64>REACH * stretch;
  const first = ceil<f64>(position - reach);
  const count = (<i32>(floor<f64>(position + reach) - first) + 4) & ~3;
  look(sound, <i32>first, count);
  // Distances from the position in 65,536ths of a table entry.
  const unit = (<f64>PLACES * 65536) / stretch;
  const step = <i32>nearest<f64>(unit);
  const from = <i32>nearest<f64>((first - position) * unit);
  let distance = i32x4.splat(from);
  distance = i32x4.replace_lane(distance, 1, from + step);
  distance = i32x4.replace_lane(distance, 2, from + 2 * step);
  distance = i32x4.replace_lane(distance, 3, from + 3 * step);
  const stride = i32x4.splat(4 * step);
  const below = i32x4.splat(0xffff);
  const whole = f32x4.splat(1.0 / 65536);
  let left = seenLeft;
  let right = seenRight;
  const end = left + ((<usize>count) << 2);
  let sumLeft = f32x4.splat(0);
  let sumRight = f32x4.splat(0);
  for (; left < end; left += 16, right += 16) {
    const far = i32x4.abs(distance);
    const entry = i32x4.shr_u(far, 16);
    let low = v128.load64_zero(HALF + ((<usize>i32x4.extract_lane(entry, 0)) << 2));
    low = v128.load64_lane(HALF + ((<usize>i32x4.extract_lane(entry, 1)) << 2), low, 1);
    let high = v128.load64_zero(HALF + ((<usize>i32x4.extract_lane(entry, 2)) << 2));
    high = v128.load64_lane(HALF + ((<usize>i32x4.extract_lane(entry, 3)) << 2), high, 1);
    const a = v128.shuffle<f32>(low, high, 0, 2, 4, 6);
    const b = v128.shuffle<f32>(low, high, 1, 3, 5, 7);
    const share = f32x4.mul(f32x4.convert_i32x4_s(v128.and(far, below)), whole);
    const weight = f32x4.add(a, f32x4.mul(share, f32x4.sub(b, a)));
    sumLeft = f32x4.add(sumLeft, f32x4.mul(weight, v128.load(left)));
    sumRight = f32x4.add(sumRight, f32x4.mul(weight, v128.load(right)));
    distance = i32x4.add(distance, stride);
  }
  const level = <f32>(1 / stretch);
  soundLeft = sumOf(sumLeft) * level;
  soundRight = sumOf(sumRight) * level;
}

// @ts-ignore: decorator
@inline
function sumOf(lanes: v128): f32 {
  return f32x4.extract_lane(lanes, 0) + f32x4.extract_lane(lanes, 1) + (f32x4.extract_lane(lanes, 2) + f32x4.extract_lane(lanes, 3));
}

/** Where `look` has put the samples. */
let seenLeft: usize = 0;
let seenRight: usize = 0;

/** Brings `count` samples from `first` on side by side: in place, or copied where the sound ends or repeats within them. */
function look(sound: Sound, first: i32, count: i32): void {
  const lowest = sound.wrapped ? sound.loopStart : 0;
  if (first >= lowest && first <= sound.frames - count) {
    const offset = (<usize>first) << 2;
    seenLeft = sound.left + offset;
    seenRight = sound.right + offset;
    return;
  }
  seenLeft = AROUND_LEFT;
  seenRight = AROUND_RIGHT;
  for (let k = 0; k < count; k++) {
    const sample = sampleAt(sound, first + k);
    const offset = (<usize>k) << 2;
    const from = (<usize>sample) << 2;
    store<f32>(AROUND_LEFT + offset, sample < 0 ? 0 : load<f32>(sound.left + from));
    store<f32>(AROUND_RIGHT + offset, sample < 0 ? 0 : load<f32>(sound.right + from));
  }
}

/** The sample that stands at a place beyond the ends; -1 for silence. */
function sampleAt(sound: Sound, place: i32): i32 {
  const frames = sound.frames;
  const loopStart = sound.loopStart;
  if (place >= frames) return sound.looping ? loopStart + ((place - loopStart) % (frames - loopStart)) : -1;
  if (sound.wrapped && place < loopStart) return frames - 1 - ((loopStart - 1 - place) % (frames - loopStart));
  return max<i32>(place, -1);
}
