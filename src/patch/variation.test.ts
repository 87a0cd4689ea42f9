// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry } from '../../tests/support/commandCase.ts';
import type { VariationChange } from './document.ts';
import { applyVariation } from './variation.ts';

const varied = (...changes: VariationChange[]) => applyVariation(ferry, { id: 'b', title: 'B', changes });

describe('applyVariation', () => {
  it('sets a value and leaves the others', () => {
    expect(varied({ set: ['osc1', 'tune'], value: 55 }).blocks[0]?.settings).toEqual({ tune: 55, sync: 'soft' });
  });

  it('connects, replacing what was in the input, and disconnects', () => {
    const cable = { from: ['osc2', 'sine'], to: ['amp1', 'cv'] } as const;
    expect(varied({ connect: cable }).cables).toEqual([ferry.cables[0], ferry.cables[2], cable]);
    expect(varied({ disconnect: ['amp1', 'cv'] }).cables).toEqual([ferry.cables[0], ferry.cables[2]]);
  });

  it('takes its steps in order: a block it adds can be wired, and what hangs on a removed one goes along', () => {
    const after = varied(
      { add: { id: 'lfo2', type: 'lfo' } },
      { connect: { from: ['lfo2', 'square'], to: ['osc1', 'fmExp'] } },
      { remove: 'lfo1' },
    );
    expect(after.blocks.map((block) => block.id)).toEqual(['osc1', 'osc2', 'amp1', 'out1', 'lfo2']);
    expect(after.cables).toEqual([ferry.cables[0], ferry.cables[2], { from: ['lfo2', 'square'], to: ['osc1', 'fmExp'] }]);
    expect(ferry.blocks).toHaveLength(5);
  });
});
