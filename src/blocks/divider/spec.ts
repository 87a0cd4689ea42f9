import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'divider',
  group: 'time',
  title: 'Clock divider',
  also: ['divide', 'counter', 'subdivision', 'slower clock'],
  say: 'Lets every second, third, fourth... pulse of a clock through.',
  part: { one: 'clock divider', many: 'clock dividers' },
  stem: 'div',
  jobs: ['divide'],
  inputs: [
    { id: 'clock', title: 'Clock', kind: 'gate', acts: 'clock' },
    { id: 'reset', title: 'Reset', kind: 'gate', acts: 'reset' },
  ],
  outputs: [
    { id: 'by2', title: 'By 2', kind: 'gate', each: 'second pulse' },
    { id: 'by3', title: 'By 3', kind: 'gate', each: 'third pulse' },
    { id: 'by4', title: 'By 4', kind: 'gate', each: 'fourth pulse' },
    { id: 'by5', title: 'By 5', kind: 'gate', each: 'fifth pulse' },
    { id: 'by6', title: 'By 6', kind: 'gate', each: 'sixth pulse' },
    { id: 'by8', title: 'By 8', kind: 'gate', each: 'eighth pulse' },
    { id: 'by16', title: 'By 16', kind: 'gate', each: 'sixteenth pulse' },
  ],
  settings: [
    {
      id: 'width',
      title: 'Width',
      type: 'choice',
      choices: ['trigger', 'half', 'clock'],
      choiceTitles: ['Trigger, 1 ms', 'Half of its own interval', 'As long as the clock'],
      default: 'half',
      say: 'How long each output stays high.',
    },
  ],
  keySettings: ['width'],
  needs: [
    {
      input: 'clock',
      outputs: ['by2', 'by3', 'by4', 'by5', 'by6', 'by8', 'by16'],
      say: 'never starts, because nothing is patched to its clock',
      still: 'never starts',
    },
  ],
} as const satisfies BlockSpec;
