// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { settingValueOf } from '../../../tests/support/randomPatch.ts';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import { valueSettings as setting } from '../../../tests/support/valueSettings.ts';
import type { Block } from '../document.ts';
import { formatValue, keySettingsLine, lowerFirst } from './format.ts';
import { parseValue } from './parse.ts';

describe('formatValue', () => {
  it.each<[name: keyof typeof setting, value: number, text: string]>([
    ['tune', 440, '440 Hz'],
    ['tune', 261.6256, '261.6 Hz'],
    ['tune', 2500, '2.5 kHz'],
    ['rate', 0.25, '0.25 Hz'],
    ['attack', 0.3, '300 ms'],
    ['attack', 0.0003, '0.3 ms'],
    ['attack', 1.5, '1.5 s'],
    ['glide', 0, '0 s'],
    ['level', 0.5, '0.5'],
    ['amount', -1, '-1'],
    ['offset', -2.5, '-2.5 V'],
    ['pitch', 0, 'C4'],
    ['pitch', 0.75, 'A4'],
    ['pitch', 0.5 + 0.125 / 12, 'F#4 +12.5 ct'],
    ['pitch', -10, 'C-6'],
    ['gain', -6, '-6 dB'],
    ['fine', 12, '+12 ct'],
    ['semitone', 7, '+7 st'],
    ['octave', -1, '-1 oct'],
    ['octave', 0, '0 oct'],
    ['bpm', 120, '120 bpm'],
    ['bend', 0.5, '0.5 oct/V'],
    ['length', 8, '8 notes'],
    ['length', 1, '1 note'],
  ])('%s %f is %s', (name, value, text) => {
    expect(formatValue(value, setting[name])).toBe(text);
  });

  it('says choices, switches and lists in words', () => {
    const [oscillator, output, sequencer] = ['oscillator', 'output', 'sequencer'].map((type) => smallCatalogue.get(type)!.settings);
    expect(formatValue('soft', oscillator!.find(({ id }) => id === 'sync')!)).toBe('Soft');
    expect(formatValue(false, output!.find(({ id }) => id === 'ceiling')!)).toBe('off');
    expect(formatValue([{}, {}], sequencer!.find(({ id }) => id === 'steps')!)).toBe('2 steps');
  });

  it('can be typed back, to four digits or a tenth of a cent, up to the very ends of the range', () => {
    fc.assert(
      fc.property(
        fc
          .constantFrom(...Object.values(setting))
          .chain((one) => fc.tuple(fc.constant(one), fc.oneof(settingValueOf(one), fc.constantFrom(one.minimum, one.maximum)))),
        ([one, value]) => {
          const back = parseValue(formatValue(value, one), one);
          const near = one.pitchVolts ? 0.051 / 1200 : Math.abs(Number(value)) * 5.1e-4;
          expect(typeof back).toBe('number');
          expect(Math.abs(Number(back) - Number(value))).toBeLessThanOrEqual(near);
        },
      ),
      { numRuns: 2000 },
    );
  });
});

describe('keySettingsLine', () => {
  const line = (block: Block, ...outputs: string[]) => keySettingsLine(block, smallCatalogue.get(block.type)!, outputs);

  it('gives what is set, then what is taken out', () => {
    expect(line({ id: 'osc1', type: 'oscillator', settings: { tune: 110 } }, 'saw')).toBe('110 Hz saw');
    expect(line({ id: 'osc1', type: 'oscillator' }, 'sine', 'saw')).toBe('261.6 Hz sine + saw');
    expect(line({ id: 'out1', type: 'output', settings: { level: -12 } })).toBe('-12 dB');
    expect(line({ id: 'player1', type: 'samplePlayer', settings: { recording: 'Fog-horn' } })).toBe('Fog-horn');
    expect(line({ id: 'player1', type: 'samplePlayer' })).toBe('');
  });

  it('leaves out what says nothing', () => {
    expect(line({ id: 'amp1', type: 'vca' }, 'out')).toBe('');
    expect(line({ id: 'amp1', type: 'vca', settings: { level: 0.5 } }, 'out')).toBe('level 0.5');
    expect(line({ id: 'out1', type: 'output', settings: { level: 0 } })).toBe('');
  });

  it('does not bend abbreviations', () => {
    expect(['Saw', 'FM amount', 'DC', 'A4', 'CV'].map(lowerFirst)).toEqual(['saw', 'FM amount', 'DC', 'A4', 'CV']);
  });
});
