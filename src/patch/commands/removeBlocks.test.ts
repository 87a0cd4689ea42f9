// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import type { Patch } from '../document.ts';
import { removeBlocks } from './removeBlocks.ts';

const hung: Patch = {
  ...ferry,
  probes: [{ at: ['lfo1', 'triangle'] }, { at: ['osc1', 'saw'] }],
  moves: [{ block: 'lfo1', setting: 'rate', points: [[0, 1]] }],
  variations: [
    {
      id: 'b',
      title: 'Other',
      changes: [
        { set: ['lfo1', 'rate'], value: 2 },
        { set: ['osc1', 'tune'], value: 55 },
        { connect: { from: ['lfo1', 'square'], to: ['osc2', 'fmExp'] } },
        { disconnect: ['amp1', 'cv'] },
        { remove: 'lfo1' },
        { add: { id: 'lfo1', type: 'lfo' } },
        { set: ['lfo1', 'rate'], value: 3 },
      ],
    },
  ],
  stages: [{ title: 'All', blocks: ['osc1', 'lfo1'], cables: [['amp1', 'cv']], settings: [['lfo1', 'rate', 1]], listen: 2 }],
};

describe('removeBlocks', () => {
  it('takes cables, probes, moves and mentions along, and brings all back on undo', () => {
    const { after, change } = run(removeBlocks, hung, { ids: ['lfo1'] });
    expect(after).toEqual({
      title: 'Ferry bell',
      blocks: ferry.blocks.filter((block) => block.id !== 'lfo1'),
      cables: [ferry.cables[0], ferry.cables[2]],
      probes: [{ at: ['osc1', 'saw'] }],
      variations: [
        {
          id: 'b',
          title: 'Other',
          changes: [
            { set: ['osc1', 'tune'], value: 55 },
            { disconnect: ['amp1', 'cv'] },
            { add: { id: 'lfo1', type: 'lfo' } },
            { set: ['lfo1', 'rate'], value: 3 },
          ],
        },
      ],
      stages: [{ title: 'All', blocks: ['osc1'], cables: [['amp1', 'cv']], settings: [], listen: 2 }],
    });
    expect(change.label).toBe('Remove LFO');
  });

  it('removes many at once and counts them', () => {
    const { after, change } = run(removeBlocks, hung, { ids: ['osc1', 'amp1', 'osc2'] });
    expect(after.blocks.map((block) => block.id)).toEqual(['lfo1', 'out1']);
    expect(after.cables).toEqual([]);
    expect(change.label).toBe('Remove 3 blocks');
  });

  it('refuses when a block is not there or none is named', () => {
    expect(refusalOf(removeBlocks, ferry, { ids: ['osc1', 'osc7'] })).toEqual({
      refused: 'no-such-block',
      say: 'There is no block "osc7" in this patch.',
    });
    expect(refusalOf(removeBlocks, ferry, { ids: [] }).refused).toBe('nothing-chosen');
  });
});
