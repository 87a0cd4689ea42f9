// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Edge, orderBlocks } from './order.ts';

const edge = (from: string, to: string, port = 'in'): Edge => ({ name: `${to}.${port}`, from, to });

describe('order of blocks', () => {
  it('follows the signal, the smallest id first where there is a choice', () => {
    const { steps } = orderBlocks(['c', 'b', 'a', 'z'], [edge('z', 'a'), edge('b', 'c')]);
    expect(steps).toEqual([{ block: 'b' }, { block: 'c' }, { block: 'z' }, { block: 'a' }]);
  });

  it('delays exactly one cable of a ring, the one into the block that sound enters from outside', () => {
    const ring = [edge('a', 'b'), edge('b', 'c'), edge('c', 'a'), edge('source', 'b', 'in2')];
    const { steps, delayed } = orderBlocks(['a', 'b', 'c', 'source'], ring);
    expect([...delayed]).toEqual(['b.in']);
    expect(steps).toEqual([{ block: 'source' }, { loop: ['b', 'c', 'a'] }]);
  });

  it('delays a cable from a block to itself', () => {
    expect([...orderBlocks(['a'], [edge('a', 'a')]).delayed]).toEqual(['a.in']);
  });

  const graphs = fc.integer({ min: 1, max: 12 }).chain((n) =>
    fc.record({
      nodes: fc.constant(Array.from({ length: n }, (_, i) => `b${i}`)),
      pairs: fc.array(fc.tuple(fc.nat(n - 1), fc.nat(n - 1)), { maxLength: 24 }),
    }),
  );
  const edgesOf = (pairs: readonly (readonly [number, number])[]): Edge[] => pairs.map(([a, b], i) => edge(`b${a}`, `b${b}`, `in${i}`));

  it('leaves no undelayed cable that runs backwards', () => {
    fc.assert(
      fc.property(graphs, ({ nodes, pairs }) => {
        const edges = edgesOf(pairs);
        const { steps, delayed } = orderBlocks(nodes, edges);
        const sequence = steps.flatMap((step) => ('block' in step ? [step.block] : step.loop));
        expect([...sequence].sort()).toEqual([...nodes].sort());
        for (const { name, from, to } of edges) if (!delayed.has(name)) expect(sequence.indexOf(from)).toBeLessThan(sequence.indexOf(to));
      }),
    );
  });

  it('delays only cables that lie on a cycle', () => {
    fc.assert(
      fc.property(graphs, ({ nodes, pairs }) => {
        const edges = edgesOf(pairs);
        const reaches = (from: string, to: string, seen = new Set<string>()): boolean =>
          from === to || edges.some((e) => e.from === from && !seen.has(e.to) && reaches(e.to, to, seen.add(e.to)));
        const { delayed } = orderBlocks(nodes, edges);
        for (const { name, from, to } of edges) if (delayed.has(name)) expect(reaches(to, from)).toBe(true);
      }),
    );
  });

  it('does not depend on the order in which blocks and cables are listed', () => {
    fc.assert(
      fc.property(graphs, fc.nat(), ({ nodes, pairs }, turn) => {
        const edges = edgesOf(pairs);
        const turned = <T>(list: T[]): T[] =>
          [...list.slice(turn % (list.length || 1)), ...list.slice(0, turn % (list.length || 1))].reverse();
        expect(orderBlocks(turned(nodes), turned(edges))).toEqual(orderBlocks(nodes, edges));
      }),
    );
  });
});
