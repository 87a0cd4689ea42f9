// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { blockLabel } from './label.ts';

const spec = { stem: 'att', title: 'Attenuverter, offset' };

describe('blockLabel', () => {
  it('is the label, else the numbered title, else the id that somebody chose', () => {
    expect(blockLabel({ id: 'att1', label: 'Tide' }, spec)).toBe('Tide');
    expect(['att1', 'att2', 'att12'].map((id) => blockLabel({ id }, spec))).toEqual(['Attenuverter', 'Attenuverter 2', 'Attenuverter 12']);
    expect(['pier', 'att', 'att01', 'attic2'].map((id) => blockLabel({ id }, spec))).toEqual(['pier', 'att', 'att01', 'attic2']);
    expect(blockLabel({ id: 'att1', label: '' }, { stem: 'amp', title: 'Amplifier (VCA)' })).toBe('att1');
    expect(blockLabel({ id: 'amp3' }, { stem: 'amp', title: 'Amplifier (VCA)' })).toBe('Amplifier 3');
    expect(blockLabel({ id: 'amp3' }, undefined)).toBe('amp3');
  });
});
