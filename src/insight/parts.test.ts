// @vitest-environment node
import { expect, it } from 'vitest';
import { type BlockSpec, createCatalogue } from '../patch/blockSpec.ts';
import { partsOf, partsText } from './parts.ts';

const base = { say: '', stem: '', keySettings: [], inputs: [], outputs: [], settings: [] };
const specs: BlockSpec[] = [
  { ...base, type: 'speaker', group: 'space', title: 'Speaker', part: { one: 'loudspeaker', many: 'loudspeakers' } },
  { ...base, type: 'adder', group: 'shape', title: 'Adder', part: { one: 'adder', many: 'adders' } },
  { ...base, type: 'tone', group: 'sound', title: 'Tone', part: { one: 'tone source', many: 'tone sources' } },
];
const catalogue = createCatalogue(specs);
const block = (type: string, i: number) => ({ id: `b${i}`, type });

it('counts parts in trade words, sound first, whatever the order in the file', () => {
  const blocks = ['speaker', 'tone', 'adder', 'tone', 'tone'].map(block);
  expect(partsText(partsOf({ blocks, cables: [] }, catalogue))).toBe('3 tone sources, 1 adder, 1 loudspeaker');
  expect(partsOf({ blocks: [...blocks].reverse(), cables: [] }, catalogue)).toEqual(partsOf({ blocks, cables: [] }, catalogue));
  expect(partsOf({ blocks, cables: [] }, catalogue)[0]).toEqual({ type: 'tone', count: 3, word: 'tone sources' });
});

it('says so when there are none', () => {
  expect(partsText(partsOf({ blocks: [], cables: [] }, catalogue))).toBe('no parts');
});
