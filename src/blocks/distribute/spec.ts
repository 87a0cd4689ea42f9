import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'distribute',
  group: 'time',
  title: 'Sequential switch, one to many',
  also: ['distributor', 'router', 'switch', 'demultiplexer', 'scanner', 'steps'],
  say: 'Sends its input to one output after another, one further at each clock.',
  part: { one: 'sequential switch (one to many)', many: 'sequential switches (one to many)' },
  stem: 'dist',
  jobs: ['deal'],
  inputs: [
    { id: 'clock', title: 'Clock', kind: 'gate', acts: 'clock' },
    { id: 'reset', title: 'Reset', kind: 'gate', acts: 'reset' },
    { id: 'address', title: 'Address', kind: 'control', normalSay: 'the clock decides', acts: 'address' },
    { id: 'in', title: 'In', kind: 'control', edge: 'left', normal: 8, normalSay: '8 V' },
  ],
  outputs: [
    { id: 'out1', title: 'Out 1', kind: 'control' },
    { id: 'out2', title: 'Out 2', kind: 'control' },
    { id: 'out3', title: 'Out 3', kind: 'control' },
    { id: 'out4', title: 'Out 4', kind: 'control' },
    { id: 'out5', title: 'Out 5', kind: 'control' },
    { id: 'out6', title: 'Out 6', kind: 'control' },
    { id: 'out7', title: 'Out 7', kind: 'control' },
    { id: 'out8', title: 'Out 8', kind: 'control' },
  ],
  settings: [
    {
      id: 'steps',
      title: 'Steps',
      type: 'number',
      unit: '',
      minimum: 1,
      maximum: 8,
      default: 4,
      whole: true,
      say: 'How many outputs take their turn.',
    },
  ],
  keySettings: ['steps'],
  flows: [{ from: ['in'], to: ['out1', 'out2', 'out3', 'out4', 'out5', 'out6', 'out7', 'out8'], keepsKind: true, linear: true }],
  needs: [
    {
      input: 'clock',
      outputs: ['out1', 'out2', 'out3', 'out4', 'out5', 'out6', 'out7', 'out8'],
      orPatched: ['address'],
      say: 'never starts, because nothing is patched to its clock or its address',
      still: 'never starts',
    },
  ],
} as const satisfies BlockSpec;
