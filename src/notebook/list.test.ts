// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { smallCatalogue } from '../../tests/support/smallCatalogue.ts';
import type { Patch } from '../patch/document.ts';
import { copyTitle, deleted, findPatches, listed } from './list.ts';
import { createRecord, isRecord, KEPT_DAYS, type NotebookRecord, overdue, readRecord } from './record.ts';

const record = (id: string, patch: Partial<Patch>, changed = 0): NotebookRecord => ({
  ...createRecord(id, { blocks: [], cables: [], ...patch }, 0, 's'),
  changed,
});

describe('the list', () => {
  const records = [
    record('a', {}, 1),
    record('b', {}, 3),
    { ...record('c', {}, 9), trashed: 10 },
    record('d', {}, 2),
    { ...record('e', {}), trashed: 20 },
  ];

  it('shows the newest change first and nothing that is deleted', () => {
    expect(listed(records).map(({ id }) => id)).toEqual(['b', 'd', 'a']);
  });

  it('shows what was deleted last first', () => {
    expect(deleted(records).map(({ id }) => id)).toEqual(['e', 'c']);
  });

  it('keeps what is deleted for its days and no longer', () => {
    const day = 24 * 60 * 60 * 1000;
    expect(overdue(records, 10 + KEPT_DAYS * day)).toEqual([]);
    expect(overdue(records, 11 + KEPT_DAYS * day)).toEqual(['c']);
  });
});

describe('finding', () => {
  const records = [
    record('bell', { title: 'Harbour bell', summary: 'Struck every quarter', tags: ['percussion'] }),
    record('café', { title: 'Café on the mole', notes: 'Slow *tide*', author: 'Evening class' }),
    record('gull', { title: 'Gull', blocks: [{ id: 'seq1', type: 'sequencer', label: 'Wing beat' }] }),
  ];
  it.each([
    ['harbour', ['bell']],
    ['QUARTER bell', ['bell']],
    ['bell gull', []],
    ['cafe', ['café']],
    ['tide', ['café']],
    ['evening', ['café']],
    ['percuss', ['bell']],
    ['step sequencer', ['gull']],
    ['wing', ['gull']],
    ['  ', ['bell', 'café', 'gull']],
  ])('"%s" finds %j', (typed, ids) => {
    expect(findPatches(records, typed, smallCatalogue).map(({ id }) => id)).toEqual(ids);
  });
});

describe('the title of a copy', () => {
  it.each([
    ['Bell', [], 'Bell (copy)'],
    ['Bell', ['Bell (copy)'], 'Bell (copy 2)'],
    ['Bell (copy)', ['Bell (copy)'], 'Bell (copy 2)'],
    ['Bell (copy 2)', ['Bell (copy)', 'Bell (copy 2)'], 'Bell (copy 3)'],
    [undefined, [], 'Untitled (copy)'],
  ])('of %j beside %j is "%s"', (title, taken, copy) => {
    expect(copyTitle(title, taken)).toBe(copy);
  });
});

describe('an entry', () => {
  it.each([
    undefined,
    null,
    'a',
    {},
    { id: 'a' },
    { ...record('a', {}), patch: null },
    { ...record('a', {}), patch: { blocks: 1, cables: [] } },
  ])('is not taken for one: %j', (value) => expect(isRecord(value)).toBe(false));

  it('passes through the whole check of a file when it is read', () => {
    const patch: Patch = { title: 'Bell', blocks: [{ id: 'osc1', type: 'oscillator', settings: { tune: 110 } }], cables: [] };
    expect(readRecord(createRecord('a', patch, 0, 's'), smallCatalogue)).toEqual({ patch });
    const broken = createRecord('a', { ...patch, cables: [{ from: ['osc1', 'saw'], to: ['out9', 'left'] }] }, 0, 's');
    expect(readRecord(broken, smallCatalogue)).toMatchObject({ problems: [{ rule: 'no-such-block' }] });
    expect(readRecord({ ...createRecord('a', patch, 0, 's'), version: 99 }, smallCatalogue)).toMatchObject({
      problems: [{ rule: 'newer-version' }],
    });
  });
});
