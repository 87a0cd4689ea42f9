// @vitest-environment node
import ELK, { type ElkNode } from 'elkjs/lib/elk.bundled.js';
import { describe, expect, it } from 'vitest';
import { smallSymbols } from '../../../tests/support/smallApp.tsx';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import type { Patch } from '../../patch/document.ts';
import { isRefusal } from '../../patch/refusal.ts';
import { type BlockGeometry, GRID } from '../../sheet/drawing/geometry.ts';
import { fragmentText, readFragment } from './clipboard.ts';
import { createDrawn, type DrawnState } from './drawn.ts';
import { FLAG, placeFlags } from './flags.ts';
import { freeSpot } from './freeSpot.ts';
import { makeRoom } from './makeRoom.ts';
import { distanceTo, longestMiddle } from './middle.ts';
import { nearestPort, nextPort } from './ports.ts';
import { overlap } from './rectGrid.ts';
import { layoutGraph, readPlaces } from './tidyGraph.ts';

const patch: Patch = {
  blocks: [
    { id: 'out1', type: 'output', at: [0, 0] },
    { id: 'amp1', type: 'vca', at: [16, 8] },
    { id: 'osc1', type: 'oscillator', at: [320, 40] },
    { id: 'lfo1', type: 'lfo', at: [8, 16] },
  ],
  cables: [
    { from: ['osc1', 'sine'], to: ['amp1', 'in'] },
    { from: ['lfo1', 'triangle'], to: ['amp1', 'cv'] },
    { from: ['amp1', 'out'], to: ['out1', 'left'] },
    { from: ['amp1', 'out'], to: ['out1', 'right'] },
  ],
};

function draw(of: Patch): DrawnState {
  const drawn = createDrawn(smallCatalogue, smallSymbols);
  drawn.show(of, new Map());
  return drawn.getState();
}

const overlaps = (a: BlockGeometry, b: BlockGeometry): boolean => overlap(a.box, b.box);

describe('tidying', () => {
  it('leads the sound from left to right, on the grid, with no block on another', async () => {
    const { blocks } = draw(patch);
    const laidOut: ElkNode = await new ELK().layout(layoutGraph(patch, blocks));
    const places = readPlaces(laidOut, blocks);
    const tidy = draw({ ...patch, blocks: patch.blocks.map((block) => ({ ...block, at: places.get(block.id) ?? [0, 0] })) });
    const x = (id: string): number => tidy.blocks.get(id)?.at[0] ?? 0;
    expect(x('osc1')).toBeLessThan(x('amp1'));
    expect(x('amp1')).toBeLessThan(x('out1'));
    for (const at of places.values()) expect(at.map((value) => Math.abs(value % GRID))).toEqual([0, 0]);
    const all = [...tidy.blocks.values()];
    for (const [i, a] of all.entries()) for (const b of all.slice(i + 1)) expect(overlaps(a, b)).toBe(false);
  });
});

describe('a free spot', () => {
  it('is where it was wished for on an empty sketch, on the grid', () => {
    expect(freeSpot([13, 21], { width: 64, height: 48 }, [])).toEqual([16, 24]);
  });

  it('lies clear of the blocks that are there', () => {
    const { blocks } = draw({ blocks: [{ id: 'amp1', type: 'vca', at: [0, 0] }], cables: [] });
    const [x, y] = freeSpot([0, 0], { width: 64, height: 48 }, blocks.values());
    const placed = draw({ blocks: [{ id: 'amp2', type: 'vca', at: [x, y] }], cables: [] }).blocks.get('amp2');
    expect(placed && overlaps(placed, blocks.get('amp1') as BlockGeometry)).toBe(false);
  });
});

describe('finding ports', () => {
  const spread: Patch = { ...patch, blocks: patch.blocks.map((block, i) => ({ ...block, at: [i * -160, 0] })) };
  const { blocks } = draw(spread);

  it('takes the nearest within reach, of the side that is asked for', () => {
    const port = blocks.get('amp1')?.ports.find(({ id }) => id === 'out');
    const near = [(port?.x ?? 0) + 6, (port?.y ?? 0) - 3] as const;
    expect(nearestPort(blocks, near, 16)?.ref).toEqual({ place: ['amp1', 'out'], side: 'output' });
    expect(nearestPort(blocks, near, 16, { side: 'input' })).toBeUndefined();
    expect(nearestPort(blocks, near, 2)).toBeUndefined();
  });

  it('goes by arrow key to the next in that direction; while cabling only to one that fits', () => {
    const from = { place: ['amp1', 'out'], side: 'output' } as const;
    expect(nextPort(blocks, from, 'ArrowRight')).toEqual({ place: ['out1', 'left'], side: 'input' });
    expect(nextPort(blocks, from, 'ArrowLeft', 'input')?.side).toBe('input');
    expect(nextPort(blocks, { place: ['out1', 'left'], side: 'input' }, 'ArrowRight')).toBeUndefined();
  });
});

describe('along a cable', () => {
  it('measures the distance to its line, not to its corners', () => {
    const line = [
      [0, 0],
      [100, 0],
      [100, 50],
    ] as const;
    expect(distanceTo(line, [50, 7])).toBe(7);
    expect(distanceTo(line, [103, 54])).toBe(5);
    expect(longestMiddle(line)).toEqual({ at: [50, 0], level: true, length: 100 });
  });

  it('hangs one flag on the cables of one output', () => {
    const spread = { ...patch, blocks: patch.blocks.map((block, i) => ({ ...block, at: [i * -240, i * 160] as const })) };
    const drawing = draw(spread);
    const flags = placeFlags(drawing);
    const names = flags.map(({ name }) => name);
    expect(new Set(names).size).toBe(names.length);
    expect(names).toContain('amp1.out');
    for (const { x, y } of flags) {
      const rect = { x: x - FLAG.width / 2, y: y - FLAG.height / 2, ...FLAG };
      for (const block of drawing.blocks.values()) expect(overlap(rect, block.box) || overlap(rect, block.label)).toBe(false);
    }
  });
});

describe('making room', () => {
  const row: Patch = {
    blocks: [
      { id: 'osc1', type: 'oscillator', at: [0, 0] },
      { id: 'amp2', type: 'vca', at: [96, 0] },
      { id: 'out1', type: 'output', at: [160, 0] },
      { id: 'lfo1', type: 'lfo', at: [320, 400] },
      { id: 'lfo2', type: 'lfo', at: [-80, 400] },
    ],
    cables: [],
  };

  it('pushes everything behind by one step, and leaves what is in front where it is', () => {
    const others = new Map(draw(row).blocks);
    const placed = others.get('amp2') as BlockGeometry;
    others.delete('amp2');
    const { at, pushed } = makeRoom(placed, others, 'osc1');
    const places = new Map([...pushed, ['amp2', at] as const]);
    const after = draw({
      ...row,
      blocks: row.blocks.map((block) => ({ ...block, at: places.get(block.id) ?? block.at ?? [0, 0] })),
    }).blocks;
    const steps = [...pushed].map(([id, [x]]) => x - (others.get(id)?.at[0] ?? 0));
    expect(new Set(steps).size).toBe(1);
    expect([...pushed.keys()].sort()).toEqual(['lfo1', 'out1']);
    for (const [a, b] of [
      ['osc1', 'amp2'],
      ['amp2', 'out1'],
    ] as const) {
      expect(after.get(a)?.box.x).toBeLessThan(after.get(b)?.box.x ?? 0);
      expect(overlaps(after.get(a) as BlockGeometry, after.get(b) as BlockGeometry)).toBe(false);
    }
  });

  it('pushes nothing where there is room', () => {
    const wide = { ...row, blocks: row.blocks.map((block) => ({ ...block, at: [(block.at?.[0] ?? 0) * 4, block.at?.[1] ?? 0] as const })) };
    const others = new Map(draw(wide).blocks);
    const placed = others.get('amp2') as BlockGeometry;
    others.delete('amp2');
    expect(makeRoom(placed, others, 'osc1')).toEqual({ at: placed.at, pushed: new Map() });
  });
});

describe('the clipboard', () => {
  it('gives back what was copied', () => {
    const fragment = { blocks: patch.blocks.slice(0, 2), cables: patch.cables.slice(2) };
    expect(readFragment(fragmentText(fragment), smallCatalogue)).toEqual(fragment);
  });

  it.each([
    ['words', 'hello'],
    ['another JSON', '{"a":1}'],
    ['an unknown function', fragmentText({ blocks: [{ id: 'x1', type: 'nothing', at: [0, 0] }], cables: [] })],
    [
      'a value out of range',
      fragmentText({ blocks: [{ id: 'osc1', type: 'oscillator', at: [0, 0], settings: { tune: 1e9 } }], cables: [] }),
    ],
    ['a loose cable', fragmentText({ blocks: [], cables: patch.cables })],
  ])('refuses %s with a sentence', (_what, text) => {
    const result = readFragment(text, smallCatalogue);
    expect(isRefusal(result) && result.say.length > 10).toBe(true);
  });
});
