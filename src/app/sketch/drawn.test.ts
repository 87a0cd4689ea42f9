// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { smallSymbols } from '../../../tests/support/smallApp.tsx';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import type { Patch } from '../../patch/document.ts';
import { createDrawn } from './drawn.ts';

const still = new Map<string, readonly [number, number]>();
const patch: Patch = {
  blocks: [
    { id: 'osc1', type: 'oscillator', at: [0, 0] },
    { id: 'amp1', type: 'vca', at: [200, 0] },
    { id: 'osc2', type: 'oscillator', at: [0, 400] },
    { id: 'amp2', type: 'vca', at: [200, 400] },
  ],
  cables: [
    { from: ['osc1', 'sine'], to: ['amp1', 'in'] },
    { from: ['osc2', 'sine'], to: ['amp2', 'in'] },
  ],
};
const withSetting = (tune: number): Patch => ({
  ...patch,
  blocks: patch.blocks.map((block) => (block.id === 'osc1' ? { ...block, settings: { tune } } : block)),
});

function drawing() {
  const drawn = createDrawn(smallCatalogue, smallSymbols);
  drawn.show(patch, still);
  return drawn;
}

describe('the drawing', () => {
  it('follows a dragged block with its own cables and leaves all others as they are', () => {
    const drawn = drawing();
    const before = drawn.getState();
    drawn.show(patch, new Map([['amp1', [240, 80]]]));
    const after = drawn.getState();
    expect(after.blocks.get('amp1')?.at).toEqual([240, 80]);
    expect(after.routes.get('amp1.in')).not.toBe(before.routes.get('amp1.in'));
    for (const id of ['osc1', 'osc2', 'amp2']) expect(after.blocks.get(id)).toBe(before.blocks.get(id));
    expect(after.routes.get('amp2.in')).toBe(before.routes.get('amp2.in'));
  });

  it('is the same again when the block is put back', () => {
    const drawn = drawing();
    const { routes } = drawn.getState();
    drawn.show(patch, new Map([['amp1', [240, 80]]]));
    drawn.show(patch, still);
    expect([...drawn.getState().routes]).toEqual([...routes]);
  });

  it('looks for no cable again while only a setting changes', () => {
    const drawn = drawing();
    const before = drawn.getState();
    drawn.show(withSetting(440), still);
    expect(drawn.getState().routes).toBe(before.routes);
    expect(drawn.getState().blocks.get('osc1')?.label.line).not.toBe(before.blocks.get('osc1')?.label.line);
  });

  it('marks the cable that closes a loop', () => {
    const drawn = drawing();
    drawn.show({ ...patch, cables: [...patch.cables, { from: ['amp1', 'out'], to: ['osc1', 'fmExp'] }] }, still);
    expect(drawn.getState().delayed.size).toBe(1);
    drawn.show(patch, still);
    expect(drawn.getState().delayed.size).toBe(0);
  });

  it('leaves out blocks of unknown type and their cables', () => {
    const drawn = drawing();
    drawn.show({ blocks: [{ id: 'x1', type: 'nothing', at: [0, 0] }], cables: [{ from: ['x1', 'a'], to: ['x1', 'b'] }] }, still);
    expect(drawn.getState().blocks.size).toBe(0);
    expect(drawn.getState().routes.size).toBe(0);
  });
});
