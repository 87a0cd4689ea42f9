// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import type { Patch } from '../document.ts';
import { renameBlock } from './renameBlock.ts';

describe('renameBlock', () => {
  it('changes the label and leaves id, cables and order alone', () => {
    const { after, change } = run(renameBlock, ferry, { block: 'osc1', label: '  Fog   horn' });
    expect(after.blocks[0]).toEqual({ ...ferry.blocks[0], label: 'Fog horn' });
    expect(after.cables).toBe(ferry.cables);
    expect(change.label).toBe('Rename Low voice');
  });

  it('an empty label takes the label away', () => {
    for (const label of ['', '  ']) expect(run(renameBlock, ferry, { block: 'osc1', label }).after.blocks[0]).not.toHaveProperty('label');
  });

  it('refuses a block that is not there', () => {
    const empty: Patch = { blocks: [], cables: [] };
    expect(refusalOf(renameBlock, empty, { block: 'osc1', label: 'x' }).refused).toBe('no-such-block');
  });
});
