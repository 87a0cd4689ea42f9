// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { findFunctions } from './find.ts';

const specs = [...smallCatalogue.values()];
const named = (title: string, also: readonly string[]): BlockSpec => ({
  ...(specs[0] as BlockSpec),
  type: title.toLowerCase(),
  title,
  also,
});
const titles = (typed: string, from: readonly BlockSpec[] = specs): readonly string[] =>
  findFunctions(from, typed).map((spec) => spec.title);

describe('finding a function', () => {
  it('shows all of them, by group, while nothing is typed', () => {
    expect(titles('')).toEqual(['Oscillator', 'Sample player', 'Amplifier', 'LFO', 'Step sequencer', 'Output']);
  });

  it('finds by the beginning of any word of the title', () => {
    expect(titles('seq')).toEqual(['Step sequencer']);
    expect(titles('SEQ st')).toEqual(['Step sequencer']);
  });

  it('puts titles before other names, and finds nothing for nonsense', () => {
    const list = [named('Envelope', ['contour']), named('Contour maker', [])];
    expect(titles('cont', list)).toEqual(['Contour maker', 'Envelope']);
    expect(titles('qqq')).toEqual([]);
  });

  it('finds a whole group by its heading', () => {
    expect(titles('modulation')).toEqual(['LFO']);
  });
});
