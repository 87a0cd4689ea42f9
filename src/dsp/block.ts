/**
 * What every kernel sees of its block (AssemblyScript). A block is a flat struct in WebAssembly memory:
 * this head, then settings, then input and output pointers (generated from the spec), then the kernel's own state.
 *
 * A signal is 128 float32 volts. In front of them lies a header:
 *   signal - 20  always 0, so that a delayed reader (which reads from signal - 4) never takes it for constant
 *   signal - 16  i32 `heldUntil`: frames 0..heldUntil-1 of this chunk all hold the same value
 *   signal -  4  f32 the last frame of the chunk before: a cable that closes a loop reads from here on
 */

/** Most frames in one chunk. */
export const CHUNK: i32 = 128;
/** A gate or trigger is high at this voltage (common practice, no single source). */
export const GATE_HIGH: f32 = 8;
/** A rising edge is seen at this voltage going up... */
export const EDGE_ON: f32 = 1.5;
/** ...and re-armed below this one going down. */
export const EDGE_OFF: f32 = 1.0;
/** Supply rails: every output stays within +-12 V. */
export const RAIL: f32 = 12;
/** C4 in hertz: 440 x 2^(-9/12) (ISO 16). */
export const C4: f64 = 261.6255653005986;

@unmanaged
export class BlockHead {
  /** Engine frames per second (output rate x quality). */
  sampleRate: f64;
  /** From the patch's seed and the block's id; the only source of randomness. */
  seed: u64;
  /** Bit i is set while input i is patched. */
  patched: u32;
  /** Oversampling factor of the engine: 1, 2, 4 or 8. */
  quality: i32;
  /** Chunk frame at which sloped settings were last latched (0 or negative after a chunk's start). */
  latch: i32;
  /** How many settings are sloped now. */
  gliding: i32;
  /** Absolute engine frame at which the next setting bends. [runtime] */
  nextCut: i64;
  /** Function table indices. [runtime] */
  processIndex: u32;
  updateIndex: u32;
  kind: u32;
  /** Heads of this block's lists of glides and events, 0 = none. [runtime] */
  glides: u32;
  events: u32;
  /**
   * Private memory asked for by the spec, and its length in float32 frames. For a recording: the left channel,
   * `memoryFrames` long, then the right one.
   */
  memory: usize;
  memoryFrames: i32;
  /** Struct bytes. [runtime] */
  bytes: u32;
  /** Frames per second of a sound file in the memory; 0 where there is none. */
  memoryRate: f64;
  /** Bit i is set where input i comes from the loop that the block itself is in: its frames come one by one. */
  inside: u32;
  /** Place of the block in its loop, from 0, for what `ahead` works out. [runtime] */
  slot: i32;
}

/** Input volts at a frame. */
// @ts-ignore: decorator
@inline
export function read(signal: usize, frame: i32): f32 {
  return load<f32>(signal + ((<usize>frame) << 2));
}

/** Writes volts that are known to lie within the rails. */
// @ts-ignore: decorator
@inline
export function write(signal: usize, frame: i32, volts: f32): void {
  store<f32>(signal + ((<usize>frame) << 2), volts);
}

/** Clamps to the supply rails: a plain clamp, so that loops stay exact. */
// @ts-ignore: decorator
@inline
export function rail(volts: f32): f32 {
  return min<f32>(max<f32>(volts, -RAIL), RAIL);
}

/** Clamps frames from..to-1 of a signal to the supply rails: the same as `rail` on each, and cheaper than it in a loop. */
export function railAll(signal: usize, from: i32, to: i32): void {
  const low = f32x4.splat(-RAIL);
  const high = f32x4.splat(RAIL);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = signal + ((<usize>i) << 2);
    v128.store(at, f32x4.pmin(f32x4.pmax(v128.load(at), low), high));
  }
  for (; i < to; i++) {
    const at = signal + ((<usize>i) << 2);
    store<f32>(at, f32x4.extract_lane(f32x4.pmin(f32x4.pmax(v128.load32_zero(at), low), high), 0));
  }
}

/** Is the signal the same over frames from..to-1? Ask before hoisting work; the hoisted path must give the same bits. */
// @ts-ignore: decorator
@inline
export function isHeld(signal: usize, to: i32): bool {
  return load<i32>(signal - 16) >= to;
}

/**
 * Writes one value over a range and marks it as held where the whole chunk up to `to` holds it.
 * An output for which `hold` is ever called must call `vary` before any other write.
 */
export function hold(signal: usize, from: i32, to: i32, volts: f32): void {
  const until = load<i32>(signal - 16);
  const continues = from == 0 || (until == from && load<u32>(signal) == reinterpret<u32>(volts)); // by bits: -0 is not 0
  store<i32>(signal - 16, continues ? to : min(until, from));
  let i = from;
  const wide = f32x4.splat(volts);
  for (; i + 4 <= to; i += 4) v128.store(signal + ((<usize>i) << 2), wide);
  for (; i < to; i++) store<f32>(signal + ((<usize>i) << 2), volts);
}

/** Says that frames from `from` on are not constant. */
// @ts-ignore: decorator
@inline
export function vary(signal: usize, from: i32): void {
  store<i32>(signal - 16, from == 0 ? 0 : min(load<i32>(signal - 16), from));
}

/** Copies frames, forwards: a signal may be moved towards its beginning. For the few frames of a chunk quicker than `memory.copy`. */
export function copySignal(from: usize, to: usize, frames: i32): void {
  const end = (<usize>frames) << 2;
  let at: usize = 0;
  for (; at + 16 <= end; at += 16) v128.store(to + at, v128.load(from + at));
  for (; at < end; at += 4) store<f32>(to + at, load<f32>(from + at));
}

/** Is the i-th input (in spec order) patched? */
// @ts-ignore: decorator
@inline
export function isPatched(block: BlockHead, input: i32): bool {
  return ((block.patched >> input) & 1) != 0;
}

/** Value of a sloped setting at a frame: v0 + slope x (frame - latch), never accumulated. */
// @ts-ignore: decorator
@inline
export function sloped(block: BlockHead, value: f64, slope: f64, frame: i32): f64 {
  return value + slope * <f64>(frame - block.latch);
}
