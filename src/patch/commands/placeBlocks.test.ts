// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import type { Patch } from '../document.ts';
import { placeBlocks } from './placeBlocks.ts';

describe('placeBlocks', () => {
  it('puts many blocks in one step', () => {
    const places = new Map([
      ['osc1', [1, 2]],
      ['out1', [3, 4]],
    ] as const);
    const { after, change } = run(placeBlocks, ferry, { places });
    expect(after.blocks.map((block) => block.at)).toEqual([
      [1, 2],
      [0, 96],
      [160, 0],
      [160, 160],
      [3, 4],
    ]);
    expect(change.label).toBe('Tidy');
  });

  it('refuses unknown blocks and places that are none', () => {
    const empty: Patch = { blocks: [], cables: [] };
    expect(refusalOf(placeBlocks, empty, { places: new Map([['osc1', [0, 0]]] as const) }).refused).toBe('no-such-block');
    expect(refusalOf(placeBlocks, ferry, { places: new Map([['osc1', [0, Number.NaN]]] as const) }).refused).toBe('not-a-value');
  });
});
