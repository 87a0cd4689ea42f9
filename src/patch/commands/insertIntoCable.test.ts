// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import type { Patch } from '../document.ts';
import { insertIntoCable, mainWay } from './insertIntoCable.ts';

const loose: Patch = { ...ferry, blocks: [...ferry.blocks, { id: 'amp2', type: 'vca', at: [240, 0] }] };

describe('insertIntoCable', () => {
  it('puts a block of the patch into a cable', () => {
    const { after, change } = run(insertIntoCable, loose, { cable: ['out1', 'left'], block: 'amp2' });
    expect(after.cables).toEqual([
      ...ferry.cables.slice(0, 2),
      { from: ['amp2', 'out'], to: ['out1', 'left'] },
      { from: ['amp1', 'out'], to: ['amp2', 'in'] },
    ]);
    expect(change.label).toBe('Insert Amplifier 2');
  });

  it('brings a new block in the same step', () => {
    const { after, change } = run(insertIntoCable, ferry, { cable: ['amp1', 'in'], block: { type: 'vca', at: [80, 0] } });
    expect(after.blocks.at(-1)).toEqual({ id: 'amp2', type: 'vca', at: [80, 0] });
    expect(after.cables).toContainEqual({ from: ['osc1', 'saw'], to: ['amp2', 'in'] });
    expect(after.cables).toContainEqual({ from: ['amp2', 'out'], to: ['amp1', 'in'] });
    expect(change.label).toBe('Insert Amplifier');
  });

  it('takes the first left-edge input and the first output of like kind', () => {
    const way = (type: string, kind: 'audio' | 'gate' | 'pitch') => {
      const found = mainWay(smallCatalogue.get(type)!, kind);
      return found && [found.input.id, found.output.id];
    };
    expect(way('vca', 'gate')).toEqual(['in', 'out']);
    expect(way('oscillator', 'pitch')).toEqual(['pitch', 'sine']);
    expect(way('oscillator', 'audio')).toEqual(['fmExp', 'sine']);
    expect(way('lfo', 'gate')).toEqual(['reset', 'square']);
    expect(way('sequencer', 'pitch')).toEqual(['clock', 'pitch']);
    expect(way('output', 'audio')).toBeUndefined();
  });

  it('refuses the ends of the cable, occupied inputs, blocks without a way through and missing cables', () => {
    expect(refusalOf(insertIntoCable, ferry, { cable: ['out1', 'left'], block: 'amp1' }).refused).toBe('not-usable-here');
    expect(refusalOf(insertIntoCable, ferry, { cable: ['amp1', 'in'], block: 'out1' }).refused).toBe('not-usable-here');
    const fed: Patch = { ...loose, cables: [...loose.cables, { from: ['osc2', 'saw'], to: ['amp2', 'in'] }] };
    expect(refusalOf(insertIntoCable, fed, { cable: ['out1', 'left'], block: 'amp2' })).toEqual({
      refused: 'input-taken',
      say: 'Amplifier 2 already has a cable in "In"; remove it first.',
    });
    expect(refusalOf(insertIntoCable, ferry, { cable: ['out1', 'right'], block: 'osc2' }).refused).toBe('no-such-cable');
  });
});
