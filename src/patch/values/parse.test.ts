// @vitest-environment node
import fc from 'fast-check';
import { Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { valueSettings as setting } from '../../../tests/support/valueSettings.ts';
import { noteHertz, noteName, noteNumber } from './notes.ts';
import { parseValue } from './parse.ts';

type Name = keyof typeof setting;

describe('parseValue', () => {
  it.each<[text: string, name: Name, value: number]>([
    ['440', 'tune', 440],
    [' 440 Hz ', 'tune', 440],
    ['440hz', 'tune', 440],
    ['2.5k', 'tune', 2500],
    ['2,5 kHz', 'tune', 2500],
    ['1e3', 'tune', 1000],
    ['A4', 'tune', 440],
    ['a3', 'tune', 220],
    // The default of an oscillator's tuning, as the catalogue writes C4.
    ['C4', 'tune', 261.6256],
    ['C4 -50 ct', 'tune', 254.1776],
    ['4 s', 'rate', 0.25],
    ['500 ms', 'rate', 2],
    ['120 bpm', 'rate', 2],
    ['5 mHz', 'rate', 0.005],
    ['300 ms', 'attack', 0.3],
    ['0.3s', 'attack', 0.3],
    ['.3', 'attack', 0.3],
    ['0,005', 'attack', 0.005],
    ['500 µs', 'attack', 0.0005],
    ['1/4 s', 'attack', 0.25],
    ['0.1 min', 'attack', 6],
    ['4 Hz', 'attack', 0.25],
    ['50 %', 'level', 0.5],
    ['50%', 'level', 0.5],
    ['1/2', 'level', 0.5],
    ['-inf dB', 'level', 0],
    ['-50%', 'amount', -0.5],
    ['−0.25', 'amount', -0.25],
    ['1/16', 'perClock', 0.0625],
    ['2V', 'offset', 2],
    ['-500 mV', 'offset', -0.5],
    ['C4', 'pitch', 0],
    ['A4', 'pitch', 0.75],
    ['C#3', 'pitch', -11 / 12],
    ['Bb2', 'pitch', -14 / 12],
    ['bb2', 'pitch', -14 / 12],
    ['B♭2', 'pitch', -14 / 12],
    ['C4 +12 ct', 'pitch', 0.01],
    ['+7 st', 'pitch', 7 / 12],
    ['0.5 V', 'pitch', 0.5],
    ['-6 dB', 'gain', -6],
    ['-6', 'gain', -6],
    ['100 %', 'gain', 0],
    ['+12 ct', 'fine', 12],
    ['0.5 st', 'fine', 50],
    ['+7 st', 'semitone', 7],
    ['7 semitones', 'semitone', 7],
    ['-1 oct', 'semitone', -12],
    ['1', 'octave', 1],
    ['-12 st', 'octave', -1],
    ['120 bpm', 'bpm', 120],
    ['0.5 s', 'bpm', 120],
    ['0.5 oct/V', 'bend', 0.5],
    ['8 notes', 'length', 8],
    ['1 note', 'length', 1],
  ])('%s for %s is %f', (text, name, value) => {
    expect(parseValue(text, setting[name])).toBe(value);
  });

  it('-6 dB as a factor is 0.5012', () => {
    expect(parseValue('-6 dB', setting.level)).toBeCloseTo(0.501187, 6);
  });

  it.each<[text: string, name: Name, rule: string, say: string]>([
    ['20 kHz', 'tune', 'out-of-range', 'Tune goes from 8 to 12500 Hz; 20000 is outside.'],
    ['B-2', 'tune', 'out-of-range', 'Tune goes from 8 to 12500 Hz; 7.716927 is outside.'],
    ['30 s', 'attack', 'out-of-range', 'Attack goes from 0.0003 to 20 s; 30 is outside.'],
    ['110 %', 'level', 'out-of-range', 'Level goes from 0 to 1; 1.1 is outside.'],
    ['50 ct', 'semitone', 'out-of-range', 'Semitone takes whole numbers from -12 to 12 semitones, not 0.5.'],
    ['3 V', 'tune', 'not-a-value', 'Tune takes hertz, like "440", "2.5 kHz", "0.5 s", "120 bpm", "A4"; not "3 V".'],
    ['A4', 'attack', 'not-a-value', 'Attack takes seconds, like "0.3", "300 ms", "2 min"; not "A4".'],
    ['H4', 'tune', 'not-a-value', 'Tune takes hertz, like "440", "2.5 kHz", "0.5 s", "120 bpm", "A4"; not "H4".'],
    ['', 'level', 'not-a-value', 'Level takes a plain factor, like "0.5", "50 %", "1/2", "-6 dB"; not "".'],
    ['1/0', 'level', 'not-a-value', 'Level takes a plain factor, like "0.5", "50 %", "1/2", "-6 dB"; not "1/0".'],
    ['1,250', 'tune', 'not-a-value', '"1,250" can be read two ways: type 1.250 or 1250.'],
    ['constructor', 'level', 'not-a-value', 'Level takes a plain factor, like "0.5", "50 %", "1/2", "-6 dB"; not "constructor".'],
    ['5constructor', 'level', 'not-a-value', 'Level takes a plain factor, like "0.5", "50 %", "1/2", "-6 dB"; not "5constructor".'],
  ])('refuses %s for %s', (text, name, rule, say) => {
    expect(parseValue(text, setting[name])).toEqual({ refused: rule, say });
  });

  it('never gives a value that the setting does not take, whatever is typed', () => {
    const letters = fc.string({ unit: fc.constantFrom(...'0123456789.,-+/ eEkKmMsSzHhbBdDAaCc#%voctVst∞×'), maxLength: 10 });
    fc.assert(
      fc.property(letters, fc.constantFrom(...Object.values(setting)), (text, one) => {
        const value = parseValue(text, one);
        if (typeof value === 'number') {
          expect(value).toBeGreaterThanOrEqual(one.minimum);
          expect(value).toBeLessThanOrEqual(one.maximum);
        } else {
          expect(value.say).toMatch(/\.$/);
        }
      }),
      { numRuns: 3000 },
    );
  });
});

describe('names of notes', () => {
  it('agree with an independent library over the whole MIDI range', () => {
    for (let number = 0; number <= 127; number++) {
      const name = noteName(number);
      expect(Note.midi(name)).toBe(number);
      expect(noteNumber(name)).toBe(number);
      expect(noteHertz(number)).toBeCloseTo(Note.freq(name)!, 6);
    }
    for (const name of ['Cb4', 'B#3', 'Ebb2', 'F##5', 'Gb-1']) expect(noteNumber(name)).toBe(Note.midi(name));
  });
});
