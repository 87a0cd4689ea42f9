// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { randomDrawing } from '../../../tests/support/randomDrawing.ts';
import type { BlockGeometry, Point, Rect } from './geometry.ts';
import { type CableRoute, cableEnds, rerouteCables, routeCables } from './route.ts';
import { branchDot, ownPath, svgPath } from './svgPath.ts';

const seeds = [1, 2, 3, 4, 5, 6, 7, 8];

/** Length of the part of a-b strictly inside a rectangle. */
function inside(rect: Rect, a: Point, b: Point): number {
  const horizontal = a[1] === b[1];
  if (!horizontal && a[0] !== b[0]) throw new Error('not orthogonal');
  const crossing = horizontal ? a[1] > rect.y && a[1] < rect.y + rect.height : a[0] > rect.x && a[0] < rect.x + rect.width;
  if (!crossing) return 0;
  const [from, to, low, high] = horizontal
    ? [Math.min(a[0], b[0]), Math.max(a[0], b[0]), rect.x, rect.x + rect.width]
    : [Math.min(a[1], b[1]), Math.max(a[1], b[1]), rect.y, rect.y + rect.height];
  return Math.max(0, Math.min(to, high) - Math.max(from, low));
}

function pieces(route: CableRoute): (readonly [Point, Point])[] {
  return route.points.slice(1).map((b, k) => [route.points[k] ?? b, b] as const);
}

function insideOf(rects: readonly Rect[], routes: Iterable<CableRoute>): number {
  let sum = 0;
  for (const route of routes) for (const [a, b] of pieces(route)) for (const rect of rects) sum += inside(rect, a, b);
  return sum;
}

const boxesOf = (blocks: ReadonlyMap<string, BlockGeometry>): Rect[] => [...blocks.values()].map((block) => block.box);
const labelsOf = (blocks: ReadonlyMap<string, BlockGeometry>): Rect[] => [...blocks.values()].map((block) => block.label);

describe('routes of cables', () => {
  it.each(seeds)('pass through no box and no label (seed %i)', (seed) => {
    const { patch, blocks } = randomDrawing(seed, 24, 40);
    const routes = routeCables(blocks, cableEnds(patch, blocks));
    expect(routes.size).toBe(patch.cables.length);
    expect(insideOf(boxesOf(blocks), routes.values())).toBe(0);
    expect(insideOf(labelsOf(blocks), routes.values())).toBe(0);
  });

  it('would pass through boxes if they ran straight over (the test above can fail)', () => {
    const { patch, blocks } = randomDrawing(1, 24, 40);
    const straight = cableEnds(patch, blocks).map(({ from, to }) => [from, to] as const);
    const routes = straight.map(([from, to]): CableRoute => {
      const points: Point[] = [
        [from.x, from.y],
        [to.x, from.y],
        [to.x, to.y],
      ];
      return { key: '', source: '', kind: 'audio', points, ownFrom: 0, jumps: [] };
    });
    expect(insideOf(boxesOf(blocks), routes)).toBeGreaterThan(100);
  });

  it.each(seeds)('leave outputs to the right and enter inputs from the left or from below (seed %i)', (seed) => {
    const { patch, blocks } = randomDrawing(seed, 24, 40);
    const ends = cableEnds(patch, blocks);
    const routes = routeCables(blocks, ends);
    for (const { key, from, to } of ends) {
      const points = routes.get(key)?.points ?? [];
      const [first, second] = points;
      const last = points.at(-1);
      const before = points.at(-2);
      expect(first).toEqual([from.x, from.y]);
      expect(last).toEqual([to.x, to.y]);
      expect((second?.[0] ?? 0) - from.x).toBeGreaterThanOrEqual(8);
      const into = to.edge === 'left' ? to.x - (before?.[0] ?? 0) : (before?.[1] ?? 0) - to.y;
      expect(into).toBeGreaterThanOrEqual(8);
    }
  });

  it.each(seeds)('of different outputs never run on top of each other (seed %i)', (seed) => {
    const { patch, blocks } = randomDrawing(seed, 24, 40);
    const routes = [...routeCables(blocks, cableEnds(patch, blocks)).values()];
    let overlap = 0;
    for (const a of routes) {
      for (const b of routes) {
        if (a.source === b.source) continue;
        for (const [p, q] of pieces(a)) for (const [r, s] of pieces(b)) overlap += common(p, q, r, s);
      }
    }
    expect(overlap).toBe(0);
  });

  it.each(seeds)('hop wherever they cross (seed %i)', (seed) => {
    const { patch, blocks } = randomDrawing(seed, 24, 40);
    const routes = [...routeCables(blocks, cableEnds(patch, blocks)).values()];
    const expected = new Set<string>();
    for (const a of routes) {
      for (const b of routes) {
        if (a.source === b.source) continue;
        for (const [p, q] of pieces(a))
          for (const [r, s] of pieces(b)) {
            if (p[1] === q[1] && r[0] === s[0] && within(r[0], p[0], q[0]) && within(p[1], r[1], s[1])) expected.add(`${r[0]},${p[1]}`);
          }
      }
    }
    const jumps = routes.flatMap((route) => route.jumps.map(([x, y]) => `${x},${y}`));
    expect(new Set(jumps)).toEqual(expected);
    expect(expected.size).toBeGreaterThan(0);
  });

  it.each(seeds)('do not depend on the order of blocks and cables (seed %i)', (seed) => {
    const { patch, blocks } = randomDrawing(seed, 24, 40);
    const ends = cableEnds(patch, blocks);
    const routes = routeCables(blocks, ends);
    const turned = routeCables(new Map([...blocks].reverse()), [...ends].reverse());
    expect(turned.size).toBe(routes.size);
    for (const [key, route] of routes) expect(turned.get(key)).toEqual(route);
  });

  it('of one output share a trunk and draw it once', () => {
    const { patch, blocks } = randomDrawing(3, 24, 40);
    const routes = [...routeCables(blocks, cableEnds(patch, blocks)).values()];
    const fans = routes.filter((route) => routes.some((other) => other !== route && other.source === route.source));
    const shared = fans.filter((route) => route.ownFrom > 0);
    expect(fans.length).toBeGreaterThan(shared.length);
    expect(shared.length).toBeGreaterThan(0);
    for (const route of shared) {
      const dot = branchDot(route);
      expect(dot).toEqual(route.points[route.ownFrom]);
      expect(ownPath(route).startsWith(`M${dot?.[0]} ${dot?.[1]}`)).toBe(true);
    }
  });

  it.each(seeds)('while a block is dragged change only where it is in the way (seed %i)', (seed) => {
    const { patch, blocks, geometryOf } = randomDrawing(seed, 24, 40);
    const ends = cableEnds(patch, blocks);
    const before = routeCables(blocks, ends);
    expect(rerouteCables(before, blocks, ends, new Set(['b7']))).toEqual(before);
    const block = patch.blocks[7];
    if (!block?.at) throw new Error('seven blocks at least');
    const after = new Map(blocks).set('b7', geometryOf({ ...block, at: [block.at[0] + 16, block.at[1] + 24] }));
    const routes = rerouteCables(before, after, cableEnds(patch, after), new Set(['b7']));
    expect(routes.size).toBe(before.size);
    expect(insideOf(boxesOf(after), routes.values())).toBe(0);
    const same = [...routes.values()].filter((route) => JSON.stringify(route.points) === JSON.stringify(before.get(route.key)?.points));
    expect(same.length).toBeGreaterThan(routes.size / 2);
    const touching = patch.cables.filter((cable) => cable.from[0] === 'b7' || cable.to[0] === 'b7').length;
    expect(routes.size - same.length).toBeGreaterThanOrEqual(touching);
  });

  it('of a block patched into itself go round it', () => {
    const { blocks } = randomDrawing(1, 6, 0);
    const [id, geometry] = [...blocks].find(([, block]) => block.ports.some((port) => port.edge === 'left')) ?? [];
    const from = geometry?.ports.find((port) => port.side === 'output');
    const to = geometry?.ports.find((port) => port.edge === 'left');
    if (!id || !from || !to || !geometry) throw new Error('a block with a left input');
    const [route] = routeCables(blocks, [{ key: 'self', source: 'self', kind: 'audio', from, to }]).values();
    expect(route && insideOf([...boxesOf(blocks), ...labelsOf(blocks)], [route])).toBe(0);
    expect(route?.points.length).toBe(6);
  });

  it('exist even between blocks that lie on top of each other or very far apart', () => {
    const { patch, geometryOf } = randomDrawing(2, 10, 16);
    for (const spread of [0, 1e6]) {
      const blocks = new Map(patch.blocks.map((block, i) => [block.id, geometryOf({ ...block, at: [spread * i, spread * i] })]));
      const routes = routeCables(blocks, cableEnds(patch, blocks));
      expect(routes.size).toBe(patch.cables.length);
      for (const route of routes.values()) {
        for (const [a, b] of pieces(route)) expect(a[0] === b[0] || a[1] === b[1]).toBe(true);
      }
    }
  });

  it('stay straight at ports off the grid', () => {
    const { patch, geometryOf } = randomDrawing(4, 12, 20);
    const blocks = new Map(
      patch.blocks.map((block, i) => [
        block.id,
        geometryOf({ ...block, at: [(block.at?.[0] ?? 0) + (i % 5), (block.at?.[1] ?? 0) - (i % 3)] }),
      ]),
    );
    for (const route of routeCables(blocks, cableEnds(patch, blocks)).values()) {
      for (const [a, b] of pieces(route)) expect(a[0] === b[0] || a[1] === b[1]).toBe(true);
    }
  });
});

function within(value: number, a: number, b: number): boolean {
  return value > Math.min(a, b) && value < Math.max(a, b);
}

/** Common length of two pieces that lie on one line. */
function common(p: Point, q: Point, r: Point, s: Point): number {
  const axis = p[1] === q[1] && r[1] === s[1] && p[1] === r[1] ? 0 : p[0] === q[0] && r[0] === s[0] && p[0] === r[0] ? 1 : undefined;
  if (axis === undefined) return 0;
  return Math.max(
    0,
    Math.min(Math.max(p[axis], q[axis]), Math.max(r[axis], s[axis])) - Math.max(Math.min(p[axis], q[axis]), Math.min(r[axis], s[axis])),
  );
}

describe('path data', () => {
  it('rounds corners and hops over crossings', () => {
    expect(
      svgPath(
        [
          [0, 0],
          [40, 0],
          [40, 40],
        ],
        8,
      ),
    ).toBe('M0 0L32 0Q40 0 40 8L40 40');
    expect(
      svgPath(
        [
          [0, 0],
          [40, 0],
        ],
        8,
        [[16, 0]],
      ),
    ).toBe('M0 0L12 0A4 4 0 0 1 20 0L40 0');
    expect(
      svgPath(
        [
          [0, 40],
          [0, 0],
        ],
        8,
        [[0, 16]],
      ),
    ).toBe('M0 40L0 20A4 4 0 0 0 0 12L0 0');
  });

  it('makes corners smaller where there is no room', () => {
    expect(
      svgPath(
        [
          [0, 0],
          [8, 0],
          [8, 8],
          [16, 8],
        ],
        8,
      ),
    ).toBe('M0 0L4 0Q8 0 8 4L8 4Q8 8 12 8L16 8');
    expect(
      svgPath(
        [
          [0, 0],
          [16, 0],
          [16, 40],
        ],
        8,
        [[8, 0]],
      ),
    ).toBe('M0 0L4 0A4 4 0 0 1 12 0L12 0Q16 0 16 4L16 40');
  });
});
