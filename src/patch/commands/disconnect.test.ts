// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import type { Patch } from '../document.ts';
import { disconnect } from './disconnect.ts';

describe('disconnect', () => {
  it('takes cables by the inputs they enter', () => {
    const one = run(disconnect, ferry, { to: [['amp1', 'cv']] });
    expect([one.after.cables, one.change.label]).toEqual([[ferry.cables[0], ferry.cables[2]], 'Remove cable']);
    const two = run(disconnect, ferry, {
      to: [
        ['out1', 'left'],
        ['amp1', 'in'],
      ],
    });
    expect([two.after.cables, two.change.label]).toEqual([[ferry.cables[1]], 'Remove 2 cables']);
  });

  it('refuses where no cable is', () => {
    const empty: Patch = { blocks: [], cables: [] };
    expect(refusalOf(disconnect, ferry, { to: [['out1', 'right']] })).toEqual({
      refused: 'no-such-cable',
      say: 'There is no cable into "out1.right".',
    });
    expect(refusalOf(disconnect, empty, { to: [] }).refused).toBe('nothing-chosen');
  });
});
