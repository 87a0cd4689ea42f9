// @vitest-environment node
import { describe, expect, it } from 'vitest';
import type { Patch } from './document.ts';
import { applyVariation } from './variation.ts';

const patch: Patch = {
  blocks: [
    { id: 'tide', type: 'lfo', settings: { rate: 0.5 } },
    { id: 'horn', type: 'oscillator' },
  ],
  cables: [{ from: ['tide', 'sine'], to: ['horn', 'width'] }],
  moves: [{ block: 'tide', setting: 'rate', points: [[0, 1]] }],
  probes: [{ at: ['tide', 'sine'] }],
};

describe('a variation', () => {
  it('sets a value and leaves the others and the patch itself alone', () => {
    const varied = applyVariation(patch, [{ set: ['tide', 'skew'], value: 0.2 }]);
    expect(varied.blocks[0]?.settings).toEqual({ rate: 0.5, skew: 0.2 });
    expect(varied.blocks[1]).toBe(patch.blocks[1]);
    expect(patch.blocks[0]?.settings).toEqual({ rate: 0.5 });
  });

  it('a cable takes the place of the one in the same input', () => {
    const { cables } = applyVariation(patch, [{ connect: { from: ['horn', 'saw'], to: ['horn', 'width'] } }]);
    expect(cables).toEqual([{ from: ['horn', 'saw'], to: ['horn', 'width'] }]);
  });

  it('takes a cable away', () => {
    expect(applyVariation(patch, [{ disconnect: ['horn', 'width'] }]).cables).toEqual([]);
  });

  it('a block goes with all that hangs on it', () => {
    const { blocks, cables, moves, probes } = applyVariation(patch, [{ remove: 'tide' }]);
    expect([blocks.map(({ id }) => id), cables, moves, probes]).toEqual([['horn'], [], [], []]);
  });

  it('changes follow one another: an added block can be cabled and set', () => {
    const varied = applyVariation(patch, [
      { remove: 'tide' },
      { add: { id: 'wind', type: 'lfo' } },
      { set: ['wind', 'rate'], value: 3 },
      { connect: { from: ['wind', 'ramp'], to: ['horn', 'width'] } },
    ]);
    expect(varied.blocks[1]).toEqual({ id: 'wind', type: 'lfo', settings: { rate: 3 } });
    expect(varied.cables).toEqual([{ from: ['wind', 'ramp'], to: ['horn', 'width'] }]);
  });
});
