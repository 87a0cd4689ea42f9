// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import type { Patch } from '../document.ts';
import { duplicateBlocks } from './duplicateBlocks.ts';

describe('duplicateBlocks', () => {
  it('copies and pastes in one step', () => {
    const { after, change } = run(duplicateBlocks, ferry, { ids: ['osc1', 'amp1'], by: [8, 8] });
    expect(after.blocks.map((block) => block.id)).toEqual(['osc1', 'osc2', 'amp1', 'lfo1', 'out1', 'osc3', 'amp2']);
    expect(after.cables).toHaveLength(4);
    expect(change.label).toBe('Duplicate 2 blocks');
    expect(run(duplicateBlocks, ferry, { ids: ['osc1'], by: [8, 8] }).change.label).toBe('Duplicate Low voice');
  });

  it('refuses what is not there', () => {
    const empty: Patch = { blocks: [], cables: [] };
    expect(refusalOf(duplicateBlocks, empty, { ids: ['osc1'], by: [8, 8] }).refused).toBe('no-such-block');
  });
});
