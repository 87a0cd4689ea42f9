// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import { applyChange, invertChange } from '../change.ts';
import { mend } from './mend.ts';

describe('mend', () => {
  it('makes several edits one after the other, as one step with its own name', () => {
    const { after, change } = run(mend, ferry, {
      label: 'Open it',
      changes: [
        { disconnect: ['amp1', 'cv'] },
        { set: ['amp1', 'level'], value: 0.5 },
        { add: { id: 'osc9', type: 'oscillator' } },
        { connect: { from: ['osc9', 'sine'], to: ['amp1', 'cv'] } },
      ],
    });
    expect(change.label).toBe('Open it');
    expect(after.blocks.find(({ id }) => id === 'amp1')?.settings).toEqual({ level: 0.5 });
    expect(after.cables.filter(({ to }) => to[0] === 'amp1' && to[1] === 'cv')).toEqual([{ from: ['osc9', 'sine'], to: ['amp1', 'cv'] }]);
    expect(applyChange(after, invertChange(change))).toEqual(ferry);
  });

  it('makes none where one cannot be made', () => {
    const good = { set: ['amp1', 'level'], value: 0.5 } as const;
    expect(refusalOf(mend, ferry, { label: 'x', changes: [good, { set: ['amp1', 'level'], value: 7 }] }).refused).toBe('out-of-range');
    expect(refusalOf(mend, ferry, { label: 'x', changes: [good, { add: { id: 'amp1', type: 'vca' } }] }).refused).toBe('duplicate-id');
    expect(refusalOf(mend, ferry, { label: 'x', changes: [{ remove: 'nobody' }] }).refused).toBe('no-such-block');
  });
});
