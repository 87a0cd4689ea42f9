/**
 * Oversampling round a shaper (AssemblyScript): raises frames to 160 kHz or more and lowers them again. At 48 kHz that is four times, at
 * 96 kHz twice; engines at 160 kHz and more need none, their frames stay where they are.
 *
 * A kernel keeps OVERSAMPLE_BYTES of state (7 v128) for each signal that is raised and for each that is lowered, and scratch memory of
 * WORK_BYTES for each signal, shared between its blocks. Direct voltage passes unchanged. Up and down again take 3.78 frames at 48 kHz (79
 * microseconds) and 1.08 frames at 96 kHz (11 microseconds), more towards 20 kHz; 23 kHz and above are attenuated.
 */
import { GENTLE_BYTES, gentleDown, gentleUp, STEEP_BYTES, steepDown, steepUp } from './halfBand';

/** Frames that may be raised at once. */
const FRAMES: usize = 128;
/** Places in the scratch memory: frames at the engine rate, at twice the rate, at four times. */
const TWICE: usize = FRAMES * 8;
const FOUR_TIMES: usize = TWICE + FRAMES * 16;
/** Scratch bytes for one signal; one idle pair at the end. */
export const WORK_BYTES: i32 = <i32>(FOUR_TIMES + FRAMES * 32 + 16);
/** State bytes of one way, up or down. */
export const OVERSAMPLE_BYTES: i32 = STEEP_BYTES + GENTLE_BYTES;

/** Raised frames per engine frame: 4, 2 or 1. */
export function oversampling(sampleRate: f64): i32 {
  return sampleRate < 80000 ? 4 : sampleRate < 160000 ? 2 : 1;
}

/** Where a kernel finds and leaves the raised frames (f64). */
// @ts-ignore: decorator
@inline
export function raisedAt(work: usize, factor: i32): usize {
  return factor == 4 ? work + FOUR_TIMES : factor == 2 ? work + TWICE : work;
}

/** Raises `count` frames (f64) at `work`. */
export function raise(state: usize, work: usize, factor: i32, count: i32): void {
  if (factor == 4) {
    steepUp(state, work, count, work + TWICE);
    gentleUp(state + STEEP_BYTES, work + TWICE, 2 * count, work + FOUR_TIMES);
  } else if (factor == 2) gentleUp(state + STEEP_BYTES, work, count, work + TWICE);
}

/** Lowers the raised frames to `count` frames at `work`. */
export function lower(state: usize, work: usize, factor: i32, count: i32): void {
  if (factor == 4) {
    gentleDown(state + STEEP_BYTES, work + FOUR_TIMES, 2 * count, work + TWICE);
    steepDown(state, work + TWICE, count, work);
  } else if (factor == 2) gentleDown(state + STEEP_BYTES, work + TWICE, count, work);
}

/**
 * Taps 1 + a and -a that make up for treble lost by antiderivatives, to the second order in w: straight lines between the frames, in
 * front of the shaper, lose w^2 / 12 (a linear shaper with the first antiderivative loses cos(w / 2) in all, 1 - w^2 / 8), the mean
 * over a frame behind it w^2 / 24; a (1 + a) is 1 / 6 and 1 / 12. So small signals stay flat (within 0.05 dB at 20 kHz of 192 kHz) and harmonics
 * come out as strong as they are made.
 */
export const STRAIGHT_TAP: f64 = 0.14549722436790283;
export const MEAN_TAP: f64 = 0.07735026918962577;

// @ts-ignore: decorator
@inline
export function brighter(x: v128, before: v128, tap: f64): v128 {
  return f64x2.sub(f64x2.mul(x, f64x2.splat(1 + tap)), f64x2.mul(before, f64x2.splat(tap)));
}
