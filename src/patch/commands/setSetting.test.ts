// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import { isEmptyChange } from '../change.ts';
import type { Patch } from '../document.ts';
import { setSetting } from './setSetting.ts';

const rowPatch: Patch = { blocks: [{ id: 'seq1', type: 'sequencer' }], cables: [] };

describe('setSetting', () => {
  it('writes a value in its place', () => {
    const { after, change } = run(setSetting, ferry, { block: 'osc1', setting: 'tune', value: 220 });
    expect(Object.entries(after.blocks[0]?.settings ?? {})).toEqual([
      ['tune', 220],
      ['sync', 'soft'],
    ]);
    expect(change.label).toBe('Set Tune of Low voice');
  });

  it('does not write a default down', () => {
    expect(run(setSetting, ferry, { block: 'osc1', setting: 'sync', value: 'hard' }).after.blocks[0]?.settings).toEqual({ tune: 110 });
    const single: Patch = { blocks: [{ id: 'osc1', type: 'oscillator', settings: { octave: 1 } }], cables: [] };
    expect(run(setSetting, single, { block: 'osc1', setting: 'octave', value: 0 }).after.blocks[0]).toEqual({
      id: 'osc1',
      type: 'oscillator',
    });
  });

  it('the same value again is no change', () => {
    expect(isEmptyChange(run(setSetting, ferry, { block: 'osc1', setting: 'tune', value: 110 }).change)).toBe(true);
  });

  it('takes lists of records', () => {
    const steps: Readonly<Record<string, number | boolean>>[] = [{ pitch: 0.5 }, { gate: false, repeats: 2 }];
    expect(run(setSetting, rowPatch, { block: 'seq1', setting: 'steps', value: steps }).after.blocks[0]?.settings).toEqual({ steps });
  });

  it.each([
    ['a value outside, with the range', ferry, 'osc1', 'tune', 20000, 'out-of-range', 'Tune goes from 8 to 12500 Hz; 20000 is outside.'],
    ['a part of a whole number', ferry, 'osc1', 'octave', 0.5, 'out-of-range', 'Octave takes whole numbers from -5 to 5 octaves, not 0.5.'],
    ['NaN', ferry, 'amp1', 'level', Number.NaN, 'not-a-value', 'Level takes a finite number from 0 to 1, not NaN.'],
    ['another word', ferry, 'osc1', 'sync', 'firm', 'out-of-range', 'Sync takes one of "hard", "soft", not "firm".'],
    ['a word for a number', ferry, 'osc1', 'tune', 'A4', 'wrong-type', 'Tune is a number from 8 to 12500 Hz, not "A4".'],
    ['a number for a switch', ferry, 'out1', 'ceiling', 1, 'wrong-type', 'Ceiling is true or false, not 1.'],
    ['a setting that is not there', ferry, 'lfo1', 'depth', 1, 'no-such-setting', 'LFO has no setting "depth"; it has "rate".'],
    ['a field out of range', rowPatch, 'seq1', 'steps', [{}, { repeats: 9 }], 'out-of-range', 'Repeats goes from 1 to 4; 9 is outside.'],
    ['too many records', rowPatch, 'seq1', 'steps', Array(17).fill({}), 'too-many', 'Steps takes at most 16 records, not 17.'],
    [
      'a field that is not there',
      rowPatch,
      'seq1',
      'steps',
      [{ slide: true }],
      'unknown-field',
      'Records of Steps have no field "slide"; they take "pitch", "gate", "repeats".',
    ],
  ])('refuses %s', (_, patch, block, setting, value, rule, say) => {
    expect(refusalOf(setSetting, patch, { block, setting, value })).toEqual({ refused: rule, say });
  });
});
