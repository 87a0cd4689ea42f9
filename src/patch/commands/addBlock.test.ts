// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import type { Patch } from '../document.ts';
import { addBlock } from './addBlock.ts';

describe('addBlock', () => {
  it('places a block at its defaults under the next number of its stem', () => {
    const { after, change } = run(addBlock, ferry, { type: 'oscillator', at: [8, 16] });
    expect(after.blocks.at(-1)).toEqual({ id: 'osc3', type: 'oscillator', at: [8, 16] });
    expect(change.label).toBe('Add Oscillator');
  });

  it('takes a label', () => {
    expect(run(addBlock, ferry, { type: 'vca', at: [0, 0], label: ' Swell ' }).after.blocks.at(-1)).toMatchObject({
      id: 'amp2',
      label: 'Swell',
    });
  });

  it('does not fill gaps, nor use an id that history or a variation knows', () => {
    const gap: Patch = {
      blocks: [{ id: 'osc5', type: 'oscillator' }],
      cables: [],
      variations: [{ id: 'b', title: 'B', changes: [{ add: { id: 'osc8', type: 'oscillator' } }] }],
    };
    expect(run(addBlock, gap, { type: 'oscillator', at: [0, 0] }).after.blocks.at(-1)?.id).toBe('osc9');
    expect(run(addBlock, gap, { type: 'oscillator', at: [0, 0], taken: ['osc11'] }).after.blocks.at(-1)?.id).toBe('osc12');
  });

  it('is not thrown by ids that only look like numbers', () => {
    const odd: Patch = {
      blocks: ['osc', 'osc07', 'oscx9', 'osc99999999999999999999'].map((id) => ({ id, type: 'oscillator' })),
      cables: [],
    };
    expect(run(addBlock, odd, { type: 'oscillator', at: [0, 0] }).after.blocks.at(-1)?.id).toBe('osc1');
  });

  it('refuses an unknown type, a place that is none, and block 2,001', () => {
    expect(refusalOf(addBlock, ferry, { type: 'bagpipe', at: [0, 0] }).refused).toBe('unknown-type');
    expect(refusalOf(addBlock, ferry, { type: 'oscillator', at: [Number.NaN, 0] }).refused).toBe('not-a-value');
    const full: Patch = { blocks: Array.from({ length: 2000 }, (_, i) => ({ id: `osc${i + 1}`, type: 'oscillator' })), cables: [] };
    expect(refusalOf(addBlock, full, { type: 'oscillator', at: [0, 0] })).toMatchObject({
      refused: 'too-many',
      say: expect.stringContaining('2000'),
    });
  });
});
