// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyChange, invertChange } from './change.ts';
import { changeBetween } from './changeBetween.ts';
import type { Patch } from './document.ts';

const id = fc.constantFrom('a', 'b', 'c', 'd', 'e', 'f');
const patch: fc.Arbitrary<Patch> = fc.record(
  {
    title: fc.constantFrom('One', 'Two'),
    tags: fc.array(fc.constantFrom('x', 'y'), { maxLength: 2 }),
    blocks: fc.uniqueArray(fc.record({ id, type: fc.constantFrom('oscillator', 'vca') }), { selector: (block) => block.id }),
    cables: fc.uniqueArray(fc.record({ from: fc.tuple(id, fc.constant('out')), to: fc.tuple(id, fc.constant('in')) }), {
      selector: (cable) => cable.to[0],
    }),
  },
  { requiredKeys: ['blocks', 'cables'] },
);

describe('changeBetween', () => {
  it('leads from any document to any other and back, reordering included', () => {
    fc.assert(
      fc.property(patch, patch, (before, after) => {
        const change = changeBetween(before, after, 'Edit');
        expect(applyChange(before, change)).toEqual(after);
        expect(applyChange(after, invertChange(change))).toEqual(before);
      }),
      { numRuns: 300 },
    );
  });

  it('names only what differs', () => {
    const before: Patch = {
      title: 'One',
      blocks: [
        { id: 'a', type: 'oscillator' },
        { id: 'b', type: 'oscillator' },
      ],
      cables: [],
    };
    expect(changeBetween(before, { ...before, blocks: [...before.blocks] }, 'Edit')).toEqual({ label: 'Edit' });
    const moved = { id: 'b', type: 'oscillator', at: [1, 2] } as const;
    expect(changeBetween(before, { ...before, blocks: [before.blocks[0]!, moved] }, 'Edit')).toEqual({
      label: 'Edit',
      blocks: { added: [], removed: [], updated: [[before.blocks[1], moved]] },
    });
  });
});
