// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import { setDetails } from './setDetails.ts';

describe('setDetails', () => {
  it('writes fields and takes empty ones out', () => {
    const { after, change } = run(setDetails, ferry, { details: { notes: 'Slow.', seed: 7 } });
    expect(after).toEqual({ ...ferry, notes: 'Slow.', seed: 7 });
    expect(change.label).toBe('Edit notes, seed');
    expect(run(setDetails, after, { details: { notes: '', seed: undefined, tags: [] }, label: 'Clear' }).after).toEqual(ferry);
  });

  it('refuses what a file would be refused for', () => {
    expect(refusalOf(setDetails, ferry, { details: { seed: 1.5 } }).refused).toBe('out-of-range');
    expect(refusalOf(setDetails, ferry, { details: { moves: [{ block: 'osc9', setting: 'tune', points: [] }] } })).toEqual({
      refused: 'no-such-block',
      say: 'There is no block "osc9" in this patch.',
    });
    expect(refusalOf(setDetails, ferry, { details: { score: [{ at: 0, note: 60, length: 0 }] } }).refused).toBe('out-of-range');
  });
});
