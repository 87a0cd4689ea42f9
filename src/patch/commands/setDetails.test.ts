// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, run } from '../../../tests/support/commandCase.ts';
import { setDetails } from './setDetails.ts';

describe('setDetails', () => {
  it('writes fields and takes empty ones out', () => {
    const { after, change } = run(setDetails, ferry, { details: { notes: 'Slow.', seed: 7 } });
    expect(after).toEqual({ ...ferry, notes: 'Slow.', seed: 7 });
    expect(change.label).toBe('Edit notes, seed');
    expect(run(setDetails, after, { details: { notes: '', seed: undefined, tags: [] }, label: 'Clear' }).after).toEqual(ferry);
  });
});
