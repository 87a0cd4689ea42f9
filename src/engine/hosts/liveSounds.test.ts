// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import type { Patch } from '../../patch/document.ts';
import { LiveSounds } from './liveSounds.ts';
import type { RecordedSound } from './recordings.ts';
import { SoundMemory } from './soundMemory.ts';

const MEGABYTE = 1048576;
const sound = (frames: number): RecordedSound => ({ rate: 48000, channels: [new Float32Array(frames)] });
const sha = (digit: string): string => digit.repeat(64);

const patch = (one: string, two: string): Patch => ({
  recordings: [
    { id: 'fog', name: 'Fog horn.wav', sha256: sha('f'), seconds: 1 },
    { id: 'gulls', name: 'Gulls.wav', sha256: sha('a'), seconds: 1 },
  ],
  blocks: [
    { id: 'p1', type: 'samplePlayer', settings: { recording: one } },
    { id: 'p2', type: 'samplePlayer', settings: { recording: two } },
    { id: 'o', type: 'output' },
  ],
  cables: [],
});

function bench(bytes = MEGABYTE) {
  let waiting = 0;
  const memory = new SoundMemory(64, bytes, () => waiting++);
  const sounds = new LiveSounds(memory, bytes, [...smallCatalogue.values()]);
  const settle = (): void => {
    for (; waiting > 0; waiting--) memory.acknowledge();
  };
  return { sounds, settle };
}

describe('the sounds of a live patch', () => {
  it('are brought where a block plays them and the file is there', () => {
    const { sounds, settle } = bench();
    sounds.provide(new Map([[sha('f'), sound(100)]]));
    expect(sounds.bring(patch('fog', 'gulls'), [])).toBeUndefined();
    expect(sounds.places(patch('fog', 'gulls'))).toEqual(new Map());
    settle();
    expect(sounds.places(patch('fog', 'gulls'))).toEqual(new Map([['fog', { address: 64, frames: 100, rate: 48000 }]]));
    expect(sounds.places(patch('', ''))).toEqual(new Map());
  });

  it('tell patches apart by what their blocks read', () => {
    const { sounds, settle } = bench();
    const before = sounds.reading(patch('fog', ''));
    expect(before).toBe(sounds.reading(patch('gulls', 'fog')));
    sounds.provide(
      new Map([
        [sha('f'), sound(100)],
        [sha('a'), sound(100)],
      ]),
    );
    sounds.bring(patch('fog', 'gulls'), []);
    settle();
    const readings = [patch('fog', ''), patch('gulls', ''), patch('', 'fog'), patch('fog', 'gulls'), patch('gulls', 'fog')].map((each) =>
      sounds.reading(each),
    );
    expect(new Set([before, ...readings]).size).toBe(6);
    // Another name or another order says nothing new.
    const same = patch('fog', 'gulls');
    expect(sounds.reading({ ...same, title: 'Quay', blocks: [...same.blocks].reverse() })).toBe(readings[3]);
  });

  it('stay while a running patch reads them, and a sentence says where there is no room', () => {
    const { sounds, settle } = bench(MEGABYTE);
    sounds.provide(
      new Map([
        [sha('f'), sound(100_000)],
        [sha('a'), sound(100_000)],
      ]),
    );
    expect(sounds.bring(patch('fog', ''), [])).toBeUndefined();
    settle();
    expect(sounds.bring(patch('gulls', ''), [patch('fog', '')])).toBe(
      '"Gulls.wav" cannot be heard live, because the sound files of this patch need more than 1 MB of sound memory. A take plays them all.',
    );
    expect(sounds.places(patch('fog', '')).size).toBe(1);
    expect(sounds.bring(patch('gulls', ''), [undefined])).toBeUndefined();
    settle();
    expect(sounds.places(patch('gulls', '')).size).toBe(1);
    expect(sounds.places(patch('fog', '')).size).toBe(0);
  });
});
