import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'multiplier',
  group: 'time',
  title: 'Clock multiplier',
  also: ['multiply', 'subdivision', 'faster clock', 'triplets', 'doubling'],
  say: 'Divides the time between two pulses of a clock into 2, 3, 4 and 8.',
  part: { one: 'clock multiplier', many: 'clock multipliers' },
  stem: 'times',
  jobs: ['times'],
  inputs: [
    { id: 'clock', title: 'Clock', kind: 'gate', acts: 'clock' },
    { id: 'reset', title: 'Reset', kind: 'gate', acts: 'reset' },
  ],
  outputs: [
    { id: 'x2', title: 'Times 2', kind: 'gate', each: 'half pulse' },
    { id: 'x3', title: 'Times 3', kind: 'gate', each: 'third of a pulse' },
    { id: 'x4', title: 'Times 4', kind: 'gate', each: 'quarter of a pulse' },
    { id: 'x8', title: 'Times 8', kind: 'gate', each: 'eighth of a pulse' },
  ],
  settings: [
    {
      id: 'width',
      title: 'Width',
      type: 'number',
      unit: '',
      minimum: 0.05,
      maximum: 0.95,
      default: 0.5,
      say: 'Share of its own interval for which each pulse is high.',
    },
  ],
  keySettings: ['width'],
  needs: [
    {
      input: 'clock',
      outputs: ['x2', 'x3', 'x4', 'x8'],
      say: 'never starts, because nothing is patched to its clock',
      still: 'never starts',
    },
  ],
} as const satisfies BlockSpec;
