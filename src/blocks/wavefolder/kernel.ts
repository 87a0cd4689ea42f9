/**
 * Wavefolder: out = 5 sin(u), u = (1 + 11 x amount) x in / 5 + symmetry x pi / 2, amount = clamp(fold + cvAmount x cv / 8, 0, 1) and
 * symmetry = clamp(symmetry + symmetryCv / 5, -1, 1). The angle u is raised to 160 kHz or more and shaped there by the first
 * antiderivative (Parker, Zavalishin and Le Bivic, DAFx-16), which is the mean of the sine over the straight line between two angles:
 *   (cos u0 - cos u1) / (u1 - u0), and sin((u0 + u1) / 2) where they are close together
 * Two taps before it and two behind it (src/dsp/oversample.ts) give back the treble that the straight lines and the mean take. Then it is
 * lowered again.
 *
 * Why both, 1244.51 Hz at full fold, signal to alias: a full 5 V sine has few harmonics beyond 24 kHz, and the plain formula reaches 76 dB at
 * 48 kHz, the first antiderivative 81 dB; a sine at the rails (12 V, 29 radians) leaves -2 and 4 dB, a 5 V saw 8 and 19 dB. Only more room
 * helps there: as it stands it reaches 134 dB (the resolution of the cables), 79 dB and 28 dB (below 20 kHz: 84 and 64 dB).
 */
import { rail, read, sloped, write } from '../../dsp/block';
import { brighter, lower, MEAN_TAP, oversampling, raise, raisedAt, STRAIGHT_TAP, WORK_BYTES } from '../../dsp/oversample';
import { sinePair } from '../../dsp/sine';
import { WavefolderPorts } from '../layouts.gen';

const PEAK: f32 = 5;
const TURN: f64 = 6.283185307179586;
/** Turns per volt without fold, and how much more at full fold. */
const PER_VOLT: f64 = 1 / (5 * TURN);
const FOLDS: f64 = 11;
/** Two angles (in turns) closer than this count as one. */
const CLOSE: f64 = 2e-5;
/** A constant far below hearing keeps the filters' states clear of denormal numbers; what is smaller still comes out as 0. */
const FLOOR: f64 = 1e-18;
const NOTHING: f64 = 1e-12;

@unmanaged
export class Wavefolder extends WavefolderPorts {
  factor: i32;

  // state: the last raised angle in turns, as it came and brightened, its cosine, the last shaped frame, then the filters up and down
  raised: f64;
  angle: f64;
  cosine: f64;
  shaped: f64;
  up0: v128;
  up1: v128;
  up2: v128;
  up3: v128;
  up4: v128;
  up5: v128;
  up6: v128;
  down0: v128;
  down1: v128;
  down2: v128;
  down3: v128;
  down4: v128;
  down5: v128;
  down6: v128;
}

const WORK = memory.data(WORK_BYTES, 16);

export function init(block: Wavefolder): void {
  block.factor = oversampling(block.sampleRate);
  block.cosine = 1;
}

export function update(block: Wavefolder): void {}

/** Angle of frame i, in turns. */
// @ts-ignore: decorator
@inline
function angleAt(block: Wavefolder, i: i32): f64 {
  const fold = sloped(block, block.settingFold, block.slopeFold, i);
  const perVolt = sloped(block, block.settingCvAmount, block.slopeCvAmount, i) * 0.125;
  const amount = min<f64>(max<f64>(fold + perVolt * <f64>read(block.inputCv, i), 0), 1);
  const symmetry = sloped(block, block.settingSymmetry, block.slopeSymmetry, i) + 0.2 * <f64>read(block.inputSymmetryCv, i);
  return (1 + FOLDS * amount) * PER_VOLT * <f64>read(block.inputIn, i) + 0.25 * min<f64>(max<f64>(symmetry, -1), 1);
}

/** Shapes `count` raised angles in place. */
function shape(block: Wavefolder, at: usize, count: i32): void {
  let raised = f64x2.splat(block.raised);
  let angles = f64x2.splat(block.angle);
  let cosines = f64x2.splat(block.cosine);
  let shaped = f64x2.splat(block.shaped);
  const close = f64x2.splat(CLOSE);
  for (let n = 0; n < count; n += 2) {
    const next = v128.load(at);
    const angle = brighter(next, v128.shuffle<f64>(raised, next, 1, 2), STRAIGHT_TAP);
    const cosine = sinePair(f64x2.add(angle, f64x2.splat(0.25)));
    const before = v128.shuffle<f64>(angles, angle, 1, 2);
    const way = f64x2.sub(angle, before);
    const fall = f64x2.sub(v128.shuffle<f64>(cosines, cosine, 1, 2), cosine);
    let y = f64x2.div(fall, f64x2.mul(way, f64x2.splat(TURN)));
    const near = f64x2.lt(f64x2.abs(way), close);
    if (v128.any_true(near)) {
      const middle = sinePair(f64x2.mul(f64x2.add(angle, before), f64x2.splat(0.5)));
      y = v128.bitselect(middle, y, near);
    }
    v128.store(at, f64x2.add(brighter(y, v128.shuffle<f64>(shaped, y, 1, 2), MEAN_TAP), f64x2.splat(FLOOR)));
    raised = next;
    angles = angle;
    cosines = cosine;
    shaped = y;
    at += 16;
  }
  const odd = (count & 1) != 0;
  block.raised = odd ? f64x2.extract_lane(raised, 0) : f64x2.extract_lane(raised, 1);
  block.angle = odd ? f64x2.extract_lane(angles, 0) : f64x2.extract_lane(angles, 1);
  block.cosine = odd ? f64x2.extract_lane(cosines, 0) : f64x2.extract_lane(cosines, 1);
  block.shaped = odd ? f64x2.extract_lane(shaped, 0) : f64x2.extract_lane(shaped, 1);
}

/** [audio thread] */
export function process(block: Wavefolder, from: i32, to: i32): void {
  const out = block.outputOut;
  if (out == 0) return;
  const count = to - from;
  const factor = block.factor;
  for (let n = 0; n < count; n++) store<f64>(WORK + ((<usize>n) << 3), angleAt(block, from + n) + FLOOR);
  raise(changetype<usize>(block) + offsetof<Wavefolder>('up0'), WORK, factor, count);
  shape(block, raisedAt(WORK, factor), count * factor);
  lower(changetype<usize>(block) + offsetof<Wavefolder>('down0'), WORK, factor, count);
  for (let n = 0; n < count; n++) {
    const y = load<f64>(WORK + ((<usize>n) << 3));
    write(out, from + n, abs<f64>(y) < NOTHING ? 0 : rail(<f32>y * PEAK));
  }
}
