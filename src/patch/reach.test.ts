// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Patch } from './document.ts';
import { createGraph, loops, reachableFrom, reachableTo, stronglyConnected } from './reach.ts';

/** "a>b b>c": cables between blocks named by letters. */
function drawn(text: string, blocks = 'abcdef'): Patch {
  const ends = text
    .split(' ')
    .filter(Boolean)
    .map((pair) => pair.split('>'));
  return {
    blocks: [...blocks].map((id) => ({ id, type: 'mixer' })),
    cables: ends.map(([from, to], i) => ({ from: [from!, 'sum'], to: [to!, `in${i}`] })),
  };
}

const letter = fc.constantFrom(...'abcdef');
const graph = fc
  .array(fc.tuple(letter, letter), { maxLength: 14 })
  .map((pairs) => createGraph(drawn(pairs.map((pair) => pair.join('>')).join(' '))));

describe('reach', () => {
  it('lists neighbours once, both ways, and passes over loose ends', () => {
    const { next, previous } = createGraph(drawn('a>b a>b b>c x>a a>y'));
    expect([next.get('a'), next.get('b'), previous.get('b'), previous.get('a')]).toEqual([['b'], ['c'], ['a'], []]);
  });

  it('finds what is downstream and upstream, ends included', () => {
    const known = createGraph(drawn('a>b b>c c>b d>c'));
    expect([...reachableFrom(known, ['a'])].sort()).toEqual(['a', 'b', 'c']);
    expect([...reachableTo(known, ['b'])].sort()).toEqual(['a', 'b', 'c', 'd']);
    expect([...reachableFrom(known, ['nowhere'])]).toEqual([]);
  });

  it('groups exactly the blocks that reach each other, feeders after what they feed', () => {
    fc.assert(
      fc.property(graph, (known) => {
        const groups = stronglyConnected(known);
        expect(groups.flat().sort()).toEqual([...'abcdef']);
        const groupOf = new Map(groups.flatMap((group, i) => group.map((id) => [id, i] as const)));
        for (const a of known.nodes) {
          for (const b of known.nodes) {
            const there = reachableFrom(known, [a]).has(b);
            expect(groupOf.get(a) === groupOf.get(b)).toBe(there && reachableFrom(known, [b]).has(a));
            if (there) expect(groupOf.get(a)!).toBeGreaterThanOrEqual(groupOf.get(b)!);
          }
        }
      }),
    );
  });

  it('a loop is a ring or a block that feeds itself', () => {
    expect(loops(createGraph(drawn('a>b b>a c>c d>e'))).map((group) => [...group].sort())).toEqual([['a', 'b'], ['c']]);
  });

  it('walks a ring of 2,000 blocks without exhausting the stack', () => {
    const ids = Array.from({ length: 2000 }, (_, i) => `b${i}`);
    const ring: Patch = {
      blocks: ids.map((id) => ({ id, type: 'mixer' })),
      cables: ids.map((id, i) => ({ from: [id, 'sum'], to: [ids[(i + 1) % 2000]!, 'in1'] })),
    };
    expect(loops(createGraph(ring)).map((group) => group.length)).toEqual([2000]);
  });
});
