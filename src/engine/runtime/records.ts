/**
 * Records of a plan's memory image and of the runtime (AssemblyScript). The plan writes the image with the same
 * offsets (`src/engine/plan/image.ts`); all fields are little-endian, addresses are absolute.
 */

/** Signals: 32 bytes of header (see src/dsp/block.ts), then 128 float32. */
export const SIGNAL_BYTES: u32 = 544;
/** No setting bends before this frame. */
export const NEVER: i64 = i64.MAX_VALUE;
/** Sloped settings are latched every 16 frames, counted from their bend. */
export const LATCH_FRAMES: i64 = 16;

/** Head of a plan. */
@unmanaged
export class Plan {
  blockCount: u32;
  blocks: u32;
  itemCount: u32;
  items: u32;
  busCount: u32;
  buses: u32;
  tapCount: u32;
  taps: u32;
  delayedCount: u32;
  delayed: u32;
  constantCount: u32;
  constants: u32;
  signalCount: u32;
  /** First signal; the others follow without gaps, in order of the schedule. */
  signals: u32;
  /** u32 index of the owning block per signal. */
  owners: u32;
  carryCount: u32;
  carries: u32;
  targetCount: u32;
  targets: u32;
  carriedSignalCount: u32;
  carriedSignals: u32;
  imageBytes: u32;
  totalBytes: u32;
  pad: u32;
}

/** One entry of the schedule. */
@unmanaged
export class Item {
  /** 0 block, 1 loop (the next `count` items run frame by frame), 2 cross-fade. */
  op: u32;
  at: u32;
  count: u32;
  pad: u32;
}

/** A changed input: reads `a` at first and `b` after `frames` frames. */
@unmanaged
export class Fade {
  a: u32;
  b: u32;
  out: u32;
  frames: i32;
  done: i32;
  pad: u32;
}

@unmanaged
export class Bus {
  left: u32;
  right: u32;
  /** Address of the setting that puts the ceiling on. */
  ceiling: u32;
  pad: u32;
}

/** A recorded output: every frame at the output rate, or only the least and greatest volts. */
@unmanaged
export class Tap {
  signal: u32;
  /** 128 float32, or 0 for peaks only. */
  out: u32;
  /** Decimator state, or 0 at quality 1. */
  state: u32;
  lowest: f32;
  highest: f32;
  last: f32;
}

@unmanaged
export class Constant {
  signal: u32;
  volts: f32;
}

/** A block that lives on in a new plan. */
@unmanaged
export class Carry {
  to: u32;
  from: u32;
  /** End of the settings and begin of the kernel's state, both from the struct's start. */
  settingsEnd: u32;
  stateStart: u32;
  /** Bytes of private memory that move along; recordings stay where they are. */
  memoryBytes: u32;
  pad: u32;
}

/** What a carried block's setting should be in the new plan. */
@unmanaged
export class Target {
  block: u32;
  setting: u32;
  value: f64;
  glide: i64;
}

/** A setting on its way: v0 + slope x (frame - bend). */
@unmanaged
export class Glide {
  next: u32;
  /** Offset of the setting in its block. */
  setting: u32;
  v0: f64;
  slope: f64;
  target: f64;
  bend: i64;
  end: i64;
}

/** Something due at a frame: a setting (message 0) or a message to the kernel (message 1). */
@unmanaged
export class Event {
  next: u32;
  setting: u32;
  message: i32;
  code: i32;
  frame: i64;
  /** Start value, NaN for where the setting stands; or the message's first number. */
  from: f64;
  /** Target value; or the message's second number. */
  target: f64;
  glide: i64;
}

/** All state of the runtime itself, in memory so that a snapshot holds it. */
@unmanaged
export class State {
  plan: u32;
  quality: i32;
  rate: f64;
  /** Engine frame at which the next chunk begins. */
  frame: i64;
  freeGlides: u32;
  freeEvents: u32;
  faultBlock: i32;
  faultCount: i32;
  gain: f64;
  gainStep: f64;
  gainTarget: f64;
  gainFrames: i32;
  pad: i32;
}
