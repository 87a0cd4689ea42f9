// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import { addedBlocks } from '../change.ts';
import type { Patch } from '../document.ts';
import { isRefusal } from '../refusal.ts';
import { copyBlocks, type Fragment } from './copyBlocks.ts';
import { pasteFragment } from './pasteFragment.ts';

function copied(ids: readonly string[]): Fragment {
  const fragment = copyBlocks(ferry, smallCatalogue, { ids });
  if (isRefusal(fragment)) throw new Error(fragment.say);
  return fragment;
}

describe('copyBlocks and pasteFragment', () => {
  it('copies blocks in the order of the patch, with the cables among them only', () => {
    expect(copied(['amp1', 'osc1'])).toEqual({ blocks: [ferry.blocks[0], ferry.blocks[2]], cables: [ferry.cables[0]] });
    expect(copyBlocks(ferry, smallCatalogue, { ids: ['amp7'] })).toMatchObject({ refused: 'no-such-block' });
  });

  it('pastes with new ids, moved, with inner cables and settings', () => {
    const { after, change } = run(pasteFragment, ferry, { fragment: copied(['osc1', 'amp1']), by: [16, 32] });
    expect(after.blocks.slice(5)).toEqual([
      { id: 'osc3', type: 'oscillator', label: 'Low voice 2', at: [16, 32], settings: { tune: 110, sync: 'soft' } },
      { id: 'amp2', type: 'vca', at: [176, 32] },
    ]);
    expect(after.cables.slice(3)).toEqual([{ from: ['osc3', 'saw'], to: ['amp2', 'in'] }]);
    expect(addedBlocks(change).map((block) => block.id)).toEqual(['osc3', 'amp2']);
    expect(change.label).toBe('Paste 2 blocks');
  });

  it('pastes twice under different ids and labels, and into another patch', () => {
    const fragment = copied(['osc1']);
    const once = run(pasteFragment, ferry, { fragment, by: [0, 0] }).after;
    expect(run(pasteFragment, once, { fragment, by: [0, 0], taken: ['osc6'] }).after.blocks.at(-1)).toMatchObject({
      id: 'osc7',
      label: 'Low voice 3',
    });
    const empty: Patch = { blocks: [], cables: [] };
    expect(run(pasteFragment, empty, { fragment, by: [0, 0] }).after.blocks[0]).toMatchObject({ id: 'osc1', label: 'Low voice' });
  });

  it('refuses nothing, unknown functions and too much', () => {
    expect(refusalOf(pasteFragment, ferry, { fragment: { blocks: [], cables: [] }, by: [0, 0] }).refused).toBe('nothing-chosen');
    expect(refusalOf(pasteFragment, ferry, { fragment: { blocks: [{ id: 'a', type: 'organ' }], cables: [] }, by: [0, 0] }).refused).toBe(
      'unknown-type',
    );
    const many = Array.from({ length: 1996 }, (_, i) => ({ id: `a${i}`, type: 'vca' }));
    expect(refusalOf(pasteFragment, ferry, { fragment: { blocks: many, cables: [] }, by: [0, 0] }).refused).toBe('too-many');
  });
});
