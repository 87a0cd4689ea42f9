/** Record sizes and field offsets of the memory image: the TypeScript side of `src/engine/runtime/records.ts`. */

export const SIGNAL_HEADER = 32;
export const SIGNAL_BYTES = 544;
export const CHUNK = 128;

export const PLAN_BYTES = 96;
export const PLAN = {
  blockCount: 0,
  blocks: 4,
  itemCount: 8,
  items: 12,
  busCount: 16,
  buses: 20,
  tapCount: 24,
  taps: 28,
  delayedCount: 32,
  delayed: 36,
  constantCount: 40,
  constants: 44,
  signalCount: 48,
  signals: 52,
  owners: 56,
  carryCount: 60,
  carries: 64,
  targetCount: 68,
  targets: 72,
  carriedSignalCount: 76,
  carriedSignals: 80,
  imageBytes: 84,
  totalBytes: 88,
} as const;

export const ITEM_BYTES = 16;
export const BUS_BYTES = 16;
export const TAP_BYTES = 24;
export const TAP = { lowest: 12, highest: 16, last: 20 } as const;
export const FADE_BYTES = 24;
export const CONSTANT_BYTES = 8;
export const CARRY_BYTES = 24;
export const TARGET_BYTES = 24;

/** Places records one after the other behind a base address. */
export class Arena {
  readonly base: number;
  #end: number;

  constructor(base: number) {
    this.base = base;
    this.#end = base;
  }

  get end(): number {
    return this.#end;
  }

  /** Address of `bytes` fresh bytes. */
  take(bytes: number, align = 8): number {
    const at = Math.ceil(this.#end / align) * align;
    this.#end = at + bytes;
    return at;
  }
}

/** Writes into an image by absolute addresses, little-endian. */
export class ImageWriter {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly #base: number;
  readonly #view: DataView;

  constructor(base: number, length: number) {
    this.bytes = new Uint8Array(length);
    this.#base = base;
    this.#view = new DataView(this.bytes.buffer);
  }

  u32(at: number, ...values: readonly number[]): void {
    for (const [i, value] of values.entries()) this.#view.setUint32(at + i * 4 - this.#base, value >>> 0, true);
  }

  f32(at: number, value: number): void {
    this.#view.setFloat32(at - this.#base, value, true);
  }

  f64(at: number, value: number): void {
    this.#view.setFloat64(at - this.#base, value, true);
  }

  i64(at: number, value: bigint): void {
    this.#view.setBigInt64(at - this.#base, BigInt.asIntN(64, value), true);
  }
}
