import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'select',
  group: 'time',
  title: 'Manual switch',
  also: ['selector', 'rotary switch', 'input selector', 'A/B switch', 'source switch'],
  say: 'Passes one of four inputs, chosen by hand.',
  part: { one: 'manual switch', many: 'manual switches' },
  stem: 'sel',
  jobs: ['choose'],
  inputs: [
    { id: 'in1', title: 'In 1', kind: 'audio' },
    { id: 'in2', title: 'In 2', kind: 'audio' },
    { id: 'in3', title: 'In 3', kind: 'audio' },
    { id: 'in4', title: 'In 4', kind: 'audio' },
  ],
  outputs: [{ id: 'out', title: 'Out', kind: 'audio' }],
  settings: [
    {
      id: 'position',
      title: 'Position',
      type: 'number',
      unit: '',
      minimum: 1,
      maximum: 4,
      default: 1,
      whole: true,
      say: 'Which input passes.',
    },
  ],
  keySettings: ['position'],
  flows: [
    {
      from: ['in1', 'in2', 'in3', 'in4'],
      to: ['out'],
      keepsKind: true,
      linear: true,
      picks: { setting: 'position', at: { in1: 1, in2: 2, in3: 3, in4: 4 }, reach: 1 },
    },
  ],
} as const satisfies BlockSpec;
