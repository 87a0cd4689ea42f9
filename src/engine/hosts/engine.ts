/**
 * One engine: a WebAssembly instance and the plan it runs. The same class serves worklet, worker and Node.
 * Nothing here touches the DOM; `render` allocates nothing. [audio thread]
 */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { EngineEvent } from '../plan/events.ts';
import { TAP } from '../plan/image.ts';
import type { EngineCatalogue, Plan } from '../plan/plan.ts';

export interface EngineExports {
  readonly memory: WebAssembly.Memory;
  arenaStart(): number;
  stateStart(): number;
  kinds(): number;
  structBytes(kind: number): number;
  portBytes(kind: number): number;
  decimatorBytes(quality: number): number;
  begin(rate: number, quality: number): void;
  delayFrames(): number;
  tapDelayFrames(): number;
  activate(address: number): void;
  render(frames: number): void;
  renderMany(frames: number): number;
  runFrames(frames: number): void;
  setSetting(block: number, setting: number, frame: number, from: number, target: number, glide: number): number;
  sendMessage(block: number, frame: number, code: number, a: number, b: number): number;
  setGain(gain: number, frames: number): void;
  frame(): number;
  takeFault(): number;
  clearPeaks(): void;
  liveInput(side: number): number;
  leftOut(): number;
  rightOut(): number;
  manyLeft(): number;
  manyRight(): number;
  manyFrames(): number;
}

const PAGE = 65536;

export class Engine {
  readonly exports: EngineExports;
  readonly rate: number;
  readonly quality: 1 | 2 | 4 | 8;
  #left = new Float32Array(0);
  #right = new Float32Array(0);
  #manyLeft = new Float32Array(0);
  #manyRight = new Float32Array(0);
  #view = new DataView(new ArrayBuffer(0));
  #plan: Pick<Plan, 'base' | 'totalBytes' | 'taps'> | undefined;
  #tapViews: Float32Array[] = [];

  /** `module` is the compiled engine; rate in output frames per second. */
  constructor(module: WebAssembly.Module, rate: number, quality: 1 | 2 | 4 | 8) {
    this.exports = new WebAssembly.Instance(module, {}).exports as unknown as EngineExports;
    this.rate = rate;
    this.quality = quality;
    this.exports.begin(rate, quality);
    this.#look();
  }

  /** What the plan compiler must know of this module. */
  catalogue(specs: readonly BlockSpec[]): EngineCatalogue {
    const structBytes = specs.map((_, kind) => this.exports.structBytes(kind));
    return { specs, structBytes, decimatorBytes: this.exports.decimatorBytes(this.quality) };
  }

  get arenaStart(): number {
    return this.exports.arenaStart();
  }

  /** Grows the memory so that plans may lie below `end`. Never on the audio thread after the start. */
  reserve(end: number): void {
    const missing = end - this.exports.memory.buffer.byteLength;
    if (missing > 0) this.exports.memory.grow(Math.ceil(missing / PAGE));
    this.#look();
  }

  #look(): void {
    const { buffer } = this.exports.memory;
    this.#left = new Float32Array(buffer, this.exports.leftOut(), 128);
    this.#right = new Float32Array(buffer, this.exports.rightOut(), 128);
    this.#manyLeft = new Float32Array(buffer, this.exports.manyLeft(), this.exports.manyFrames());
    this.#manyRight = new Float32Array(buffer, this.exports.manyRight(), this.exports.manyFrames());
    this.#view = new DataView(buffer);
    this.#tapViews = (this.#plan?.taps ?? []).map((tap) => new Float32Array(buffer, tap.out, 128));
  }

  /** Makes the plan the running one; memory for it must be reserved. */
  load(plan: Pick<Plan, 'base' | 'totalBytes' | 'taps' | 'image'>): void {
    new Uint8Array(this.exports.memory.buffer).set(plan.image, plan.base);
    this.exports.activate(plan.base);
    this.#plan = plan;
    this.#look();
  }

  /** The last rendered frames, full scale 1. Views stay valid until memory grows. */
  get left(): Float32Array {
    return this.#left;
  }

  get right(): Float32Array {
    return this.#right;
  }

  /** The last rendered frames of a tap in volts. */
  tap(index: number): Float32Array {
    return this.#tapViews[index] as Float32Array;
  }

  /** A signal's 128 frames (feeds, tests). */
  signal(address: number): Float32Array {
    return new Float32Array(this.exports.memory.buffer, address, 128);
  }

  /** Least volts since the peaks were cleared. */
  tapLowest(index: number): number {
    return this.#view.getFloat32((this.#plan?.taps[index]?.address ?? 0) + TAP.lowest, true);
  }

  tapHighest(index: number): number {
    return this.#view.getFloat32((this.#plan?.taps[index]?.address ?? 0) + TAP.highest, true);
  }

  /** Puts float32 into the memory. */
  write(address: number, samples: Float32Array): void {
    new Float32Array(this.exports.memory.buffer, address, samples.length).set(samples);
  }

  /** Next engine frame. */
  get frame(): number {
    return this.exports.frame();
  }

  /** Hands an event to the runtime; false when its pool is full. */
  send(event: EngineEvent): boolean {
    if (event.kind === 'setting')
      return this.exports.setSetting(event.block, event.setting, event.frame, event.from, event.target, event.glide) !== 0;
    return this.exports.sendMessage(event.block, event.frame, event.code, event.a, event.b) !== 0;
  }

  /** Renders 1..128 output frames. */
  render(frames: number): void {
    this.exports.render(frames);
  }

  /** Renders at least one frame and at most `frames` without stopping for frames of taps; returns how many. Then see `manyLeft`. */
  renderMany(frames: number): number {
    return this.exports.renderMany(frames);
  }

  get manyLeft(): Float32Array {
    return this.#manyLeft;
  }

  get manyRight(): Float32Array {
    return this.#manyRight;
  }

  /**
   * Views on all memory that rendering changes: the runtime's own and the plan's. Sound files lie between and stay as they are.
   * Good until memory grows.
   */
  stateParts(): readonly Int32Array[] {
    const { buffer } = this.exports.memory;
    const { base, totalBytes } = this.#plan ?? { base: 0, totalBytes: 0 };
    return [new Int32Array(buffer, 0, this.arenaStart >> 2), new Int32Array(buffer, base, Math.ceil(totalBytes / 4))];
  }
}
