// @vitest-environment node
import { describe, expect, it } from 'vitest';
import type { RecordedSound } from './recordings.ts';
import { type Slice, SoundMemory } from './soundMemory.ts';

const BASE = 1024;
/** Two channels of `frames`, 8 bytes a frame. */
const sound = (frames: number, first = 0): RecordedSound => ({
  rate: 44100,
  channels: [0, 1].map((side) => Float32Array.from({ length: frames }, (_, n) => first + n + side / 2)),
});
const none: ReadonlySet<string> = new Set();

function bench(bytes: number) {
  const sent: Slice[] = [];
  const memory = new SoundMemory(BASE, bytes, (slice) => sent.push(slice));
  /** What the audio thread would hold after acknowledging everything. */
  const settle = (): string[] => {
    const complete: string[] = [];
    for (let done = 0; done < sent.length; done++) complete.push(...[memory.acknowledge()].filter((name) => name !== undefined));
    return complete;
  };
  return { memory, sent, settle };
}

describe('a sound', () => {
  it('goes out in slices of 64 kB, two at a time, and is found when all of them are there', () => {
    const { memory, sent } = bench(1 << 20);
    expect(memory.bring('fog', sound(40000), none)).toBe(true);
    for (let done = 0; done < 6; done++) {
      expect(sent).toHaveLength(Math.min(6, done + 2));
      expect(memory.find('fog')).toBeUndefined();
      expect(memory.acknowledge()).toBe(done === 5 ? 'fog' : undefined);
    }
    expect(sent).toHaveLength(6);
    expect(memory.find('fog')).toEqual({ address: BASE, frames: 40000, rate: 44100 });
    const there = new Float32Array(80000);
    for (const { address, samples } of sent) {
      expect(samples.byteLength).toBeLessThanOrEqual(65536);
      there.set(samples, (address - BASE) / 4);
    }
    expect([there[0], there[39999], there[40000], there[79999]]).toEqual([0, 39999, 0.5, 39999.5]);
  });

  it('of one channel lies there twice', () => {
    const { memory, sent, settle } = bench(4096);
    memory.bring('fog', { rate: 8000, channels: [Float32Array.of(1, 2, 3)] }, none);
    settle();
    expect(sent.map(({ address, samples }) => [address, ...samples])).toEqual([
      [BASE, 1, 2, 3],
      [BASE + 12, 1, 2, 3],
    ]);
  });

  it('is brought once', () => {
    const { memory, sent, settle } = bench(4096);
    for (let i = 0; i < 3; i++) expect(memory.bring('fog', sound(10), none)).toBe(true);
    expect(settle()).toEqual(['fog']);
    expect(memory.bring('fog', sound(10), none)).toBe(true);
    expect(sent).toHaveLength(2);
  });
});

describe('room', () => {
  it('is refused where used sounds fill it, and given where unused ones can go', () => {
    const { memory, settle } = bench(2400);
    memory.bring('a', sound(100), none);
    memory.bring('b', sound(100), none);
    memory.bring('c', sound(100), none);
    expect(settle()).toEqual(['a', 'b', 'c']);
    expect(memory.bring('d', sound(100), new Set(['a', 'b', 'c']))).toBe(false);
    expect(memory.bring('d', sound(100), new Set(['a', 'c']))).toBe(true);
    settle();
    expect(memory.find('b')).toBeUndefined();
    expect(memory.find('d')?.address).toBe(BASE + 800);
    expect(memory.find('a')?.address).toBe(BASE);
  });

  it('is never taken from a sound on its way', () => {
    const { memory, settle } = bench(1600);
    memory.bring('a', sound(200), none);
    expect(memory.bring('b', sound(100), none)).toBe(false);
    expect(settle()).toEqual(['a']);
    expect(memory.bring('b', sound(100), none)).toBe(true);
  });

  it('is not there for what is larger than all of it', () => {
    const { memory } = bench(800);
    expect(memory.bring('a', sound(101), none)).toBe(false);
  });
});
