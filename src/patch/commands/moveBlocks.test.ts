// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import { isEmptyChange } from '../change.ts';
import type { Patch } from '../document.ts';
import { moveBlocks } from './moveBlocks.ts';

describe('moveBlocks', () => {
  it('moves the named blocks together and no other', () => {
    const { after, change } = run(moveBlocks, ferry, { ids: ['amp1', 'lfo1'], by: [8, -16] });
    expect(after.blocks.map((block) => block.at)).toEqual([
      [0, 0],
      [0, 96],
      [168, -16],
      [168, 144],
      [320, 0],
    ]);
    expect(after.blocks[0]).toBe(ferry.blocks[0]);
    expect(change.label).toBe('Move 2 blocks');
  });

  it('a move by nothing is no change', () => {
    expect(isEmptyChange(run(moveBlocks, ferry, { ids: ['amp1'], by: [0, 0] }).change)).toBe(true);
  });

  it('a block without a place counts from the origin', () => {
    const placeless: Patch = { blocks: [{ id: 'osc1', type: 'oscillator' }], cables: [] };
    expect(run(moveBlocks, placeless, { ids: ['osc1'], by: [5, 6] }).after.blocks[0]?.at).toEqual([5, 6]);
  });

  it('refuses infinite moves', () => {
    expect(refusalOf(moveBlocks, ferry, { ids: ['amp1'], by: [Number.POSITIVE_INFINITY, 0] }).refused).toBe('not-a-value');
  });
});
