/** Parts of the shipped engine module, called by themselves on memory that the test adds behind the module's own. */
import { engineModule } from './engine.ts';

/** The functions that src/engine/runtime/hooks.ts puts out. */
export interface EngineParts {
  readonly memory: WebAssembly.Memory;
  prepareDecimator(rate: number, quality: number): void;
  decimatorBytes(quality: number): number;
  decimatorDelay(): number;
  decimate(state: number, input: number, frames: number, output: number): number;
  readonly CEILING_BYTES: WebAssembly.Global;
  prepareCeiling(rate: number): void;
  ceilingDelay(): number;
  limit(state: number, left: number, right: number, frames: number): void;
  delayOnly(state: number, left: number, right: number, frames: number): void;
}

export interface PartBench {
  readonly parts: EngineParts;
  /** Zeroed room for `bytes` behind everything before; returns its address. */
  room(bytes: number): number;
  /** `count` frames at an address. */
  frames(address: number, count: number): Float32Array;
}

/** A fresh instance of the module. */
export function createPartBench(): PartBench {
  const parts = new WebAssembly.Instance(engineModule(), {}).exports as unknown as EngineParts;
  return {
    parts,
    room(bytes) {
      const start = parts.memory.buffer.byteLength;
      parts.memory.grow(Math.ceil(bytes / 65536));
      return start;
    },
    frames: (address, count) => new Float32Array(parts.memory.buffer, address, count),
  };
}

/** Lengths of `cuts`, cycled, until `total` is used up. */
export function cutsOf(total: number, cuts: readonly number[]): number[] {
  const lengths: number[] = [];
  for (let done = 0, i = 0; done < total; i++) {
    const length = Math.min(total - done, cuts[i % cuts.length] as number);
    lengths.push(length);
    done += length;
  }
  return lengths;
}
