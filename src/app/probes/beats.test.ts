import { describe, expect, it } from 'vitest';
import { beatFrom, standing } from './beats.ts';

/** 120 beats a minute from the first frame on. */
const beats = { edges: Int32Array.from([0, 24000, 48000, 72000]), rate: 48000 };

describe('stepping by beats', () => {
  it('goes to the next and to the last beat, from between them and from a beat', () => {
    expect(beatFrom(beats, 0.7, 1, false)).toBe(1);
    expect(beatFrom(beats, 0.7, -1, false)).toBe(0.5);
    expect(beatFrom(beats, 0.5, 1, false)).toBe(1);
    expect(beatFrom(beats, 0.5, -1, false)).toBe(0);
    // The position of what plays is not exact to the frame.
    expect(beatFrom(beats, 0.49999, 1, false)).toBe(1);
  });

  it('ends with the last beat and begins with the first', () => {
    expect(beatFrom(beats, 1.5, 1, false)).toBeUndefined();
    expect(beatFrom(beats, 0, -1, false)).toBeUndefined();
  });

  it('goes back past the beat that has just sounded, while it plays', () => {
    expect(beatFrom(beats, 1.08, -1, true)).toBe(0.5);
    expect(beatFrom(beats, 1.3, -1, true)).toBe(1);
  });

  it('sets out from the playhead while that is visible, else from what is visible', () => {
    expect(standing({ start: 2, span: 1 }, 2.5)).toBe(2.5);
    expect(standing({ start: 2, span: 1 }, 7)).toBe(2);
  });
});
