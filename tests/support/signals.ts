/** Test signals for any input, made from a seed: nothing here is random from run to run. */
import type { InputSpec } from '../../src/patch/blockSpec.ts';
import type { Signal } from './runPatch.ts';

/** Uniform in 0..1 from a seed (mulberry32, public domain). */
export function uniform(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/**
 * A signal that suits the kind of input: gates with uneven lengths, audio that mixes tones and noise,
 * control voltages that move, stand still and jump. All within the rails.
 */
export function signalFor(input: InputSpec, seed: number, frames: number): Signal {
  const next = uniform(seed);
  const volts = new Float32Array(frames);
  if (input.kind === 'gate') {
    for (let n = 0, high = false; n < frames; high = !high) {
      const length = 1 + Math.floor(next() ** 3 * 900);
      volts.fill(high ? 1.5 + next() * 8 : next(), n, Math.min(frames, n + length));
      n += length;
    }
    return volts;
  }
  for (let n = 0; n < frames; ) {
    const length = 1 + Math.floor(next() * 700);
    const kind = Math.floor(next() * 4);
    const [a, b] = [next() * 2 - 1, next() * 2 - 1];
    for (let k = 0; k < length && n < frames; k++, n++) {
      const range = input.kind === 'audio' ? 5 : 3;
      volts[n] =
        kind === 0
          ? range * a
          : kind === 1
            ? range * a * Math.sin(n * 0.3 * (1 + b))
            : kind === 2
              ? range * (next() * 2 - 1)
              : range * (a + ((b - a) * k) / length);
    }
  }
  return volts;
}
