// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Change, Placed } from './change.ts';
import { applyChange, composeChanges, invertChange, isEmptyChange } from './change.ts';
import type { Block, Cable, Patch } from './document.ts';

/** Small pools of ids, so that records often go, come back and meet again. */
const ids = ['a1', 'a2', 'a3', 'a4', 'a5', 'a6'];

interface Step {
  readonly remove: readonly boolean[];
  readonly update: readonly boolean[];
  readonly add: readonly (readonly [id: number, place: number])[];
  readonly recable: readonly boolean[];
  readonly title: string | undefined;
  readonly seed: number | undefined;
  readonly mark: number;
}

const flags = fc.array(fc.boolean(), { minLength: 6, maxLength: 6 });
const step: fc.Arbitrary<Step> = fc.record({
  remove: flags,
  update: flags,
  add: fc.array(fc.tuple(fc.nat(5), fc.nat(6)), { maxLength: 4 }),
  recable: flags,
  title: fc.option(fc.constantFrom('One', 'Two'), { nil: undefined }),
  seed: fc.option(fc.nat(2), { nil: undefined }),
  mark: fc.nat(2),
});

/** Splits a list into removed records and the added ones at drawn places: a legal change of that list. */
function edit<T>(list: readonly T[], gone: (record: T) => boolean, fresh: readonly (readonly [T, number])[]) {
  const removed = list.flatMap((record, i): Placed<T>[] => (gone(record) ? [[i, record]] : []));
  const after = list.filter((record) => !gone(record));
  for (const [record, place] of fresh) after.splice(place % (after.length + 1), 0, record);
  const added = after.flatMap((record, i): Placed<T>[] => (fresh.some(([other]) => other === record) ? [[i, record]] : []));
  return { removed, added };
}

function changeFor(patch: Patch, drawn: Step): Change {
  const gone = (block: Block): boolean => drawn.remove[ids.indexOf(block.id)] === true;
  const free = ids.filter((id) => !patch.blocks.some((block) => block.id === id && !gone(block)));
  const fresh = [...new Map(drawn.add.map(([n, place]) => [free[n % Math.max(1, free.length)], place])).entries()].flatMap(
    ([id, place]): [Block, number][] => (id ? [[{ id, type: 'oscillator', label: `m${drawn.mark}` }, place]] : []),
  );
  const blocks = edit(patch.blocks, gone, fresh);
  const updated = patch.blocks
    .filter((block) => !gone(block) && drawn.update[ids.indexOf(block.id)])
    .map((block) => [block, { ...block, at: [drawn.mark, 0] }] as const);
  const cableGone = (cable: Cable): boolean => drawn.recable[ids.indexOf(cable.to[0])] === true;
  const cables = edit(
    patch.cables,
    cableGone,
    ids
      .filter((_, i) => drawn.recable[i])
      .map((id): [Cable, number] => [{ from: [ids[drawn.mark]!, 'saw'], to: [id, 'fmExp'] }, drawn.mark]),
  );
  const pick = (title: string | undefined, seed: number | undefined) => ({
    ...(title !== undefined && { title }),
    ...(seed !== undefined && { seed }),
  });
  return {
    label: 'Drawn',
    blocks: { ...blocks, updated },
    cables,
    details: [pick(patch.title, patch.seed), pick(drawn.title, drawn.seed)],
  };
}

const start: Patch = {
  title: 'Ferry bell',
  notes: 'kept',
  blocks: ids.slice(0, 4).map((id) => ({ id, type: 'oscillator' })),
  cables: [{ from: ['a1', 'saw'], to: ['a2', 'fmExp'] }],
};

/** A patch some drawn steps away from the start. */
const somewhere = fc
  .array(step, { maxLength: 3 })
  .map((steps) => steps.reduce((patch, drawn) => applyChange(patch, changeFor(patch, drawn)), start));

describe('a change', () => {
  it('is undone by its inverse, order included', () => {
    fc.assert(
      fc.property(somewhere, step, (patch, drawn) => {
        const change = changeFor(patch, drawn);
        expect(applyChange(applyChange(patch, change), invertChange(change))).toEqual(patch);
      }),
    );
  });

  it('composed with the next does what both do in turn, and is undone in one', () => {
    fc.assert(
      fc.property(somewhere, step, step, step, (patch, one, two, three) => {
        const first = changeFor(patch, one);
        const second = changeFor(applyChange(patch, first), two);
        const between = applyChange(applyChange(patch, first), second);
        const third = changeFor(between, three);
        const both = composeChanges(first, second);
        expect(applyChange(patch, both)).toEqual(between);
        expect(applyChange(between, invertChange(both))).toEqual(patch);
        const all = applyChange(between, third);
        expect(applyChange(patch, composeChanges(both, third))).toEqual(all);
        expect(applyChange(patch, composeChanges(first, composeChanges(second, third)))).toEqual(all);
      }),
      { numRuns: 500 },
    );
  });

  it('composed with its own inverse is empty, and is empty only if it leaves the document as it is', () => {
    fc.assert(
      fc.property(somewhere, step, (patch, drawn) => {
        const change = changeFor(patch, drawn);
        expect(composeChanges(change, invertChange(change))).toEqual({ label: 'Drawn' });
        const after = applyChange(patch, change);
        expect(isEmptyChange(change)).toBe(JSON.stringify(after) === JSON.stringify(patch));
      }),
    );
  });

  it('keeps the lists it does not touch, so that a page redraws only what changed', () => {
    const after = applyChange(start, { label: 'Title', details: [{ title: 'Ferry bell' }, { title: 'Fog bell' }] });
    expect(after.blocks).toBe(start.blocks);
    expect(after.title).toBe('Fog bell');
  });

  it('puts a removed block back where it stood', () => {
    const change: Change = { label: 'Remove', blocks: { added: [], removed: [[1, start.blocks[1]!]], updated: [] } };
    const without = applyChange(start, change);
    expect(without.blocks.map((block) => block.id)).toEqual(['a1', 'a3', 'a4']);
    expect(applyChange(without, invertChange(change)).blocks.map((block) => block.id)).toEqual(['a1', 'a2', 'a3', 'a4']);
  });

  it.each<[string, Change, RegExp]>([
    [
      'removes a block that is not there',
      { label: '', blocks: { added: [], removed: [[0, { id: 'x', type: 'oscillator' }]], updated: [] } },
      /no block "x"/,
    ],
    [
      'adds a block that is there',
      { label: '', blocks: { added: [[0, { id: 'a1', type: 'oscillator' }]], removed: [], updated: [] } },
      /already has a block "a1"/,
    ],
    [
      'updates a block that has changed since',
      {
        label: '',
        blocks: {
          added: [],
          removed: [],
          updated: [
            [
              { id: 'a1', type: 'oscillator', label: 'Old' },
              { id: 'a1', type: 'oscillator' },
            ],
          ],
        },
      },
      /"a1" to be changed is not the one/,
    ],
    ['expects another title', { label: '', details: [{ title: 'Other' }, {}] }, /field "title"/],
    [
      'adds beyond the end',
      { label: '', blocks: { added: [[9, { id: 'x', type: 'oscillator' }]], removed: [], updated: [] } },
      /position 9/,
    ],
  ])('that %s is a programmer error', (_, change, message) => {
    expect(() => applyChange(start, change)).toThrow(message);
  });
});
