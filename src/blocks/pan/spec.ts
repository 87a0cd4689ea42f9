import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'pan',
  group: 'shape',
  title: 'Panner',
  also: ['pan', 'autopan', 'stereo position', 'balance', 'one to two'],
  say: 'Places a sound between left and right, by hand or by a voltage.',
  part: { one: 'panner', many: 'panners' },
  stem: 'pan',
  jobs: ['place'],
  inputs: [
    { id: 'in', title: 'In', kind: 'audio' },
    { id: 'cv', title: 'CV', kind: 'control', acts: 'pan', amount: 'cvAmount', moves: { setting: 'position', law: 'add', perVolt: 1 / 5 } },
  ],
  outputs: [
    { id: 'left', title: 'Left', kind: 'audio' },
    { id: 'right', title: 'Right', kind: 'audio' },
  ],
  settings: [
    {
      id: 'position',
      title: 'Position',
      type: 'number',
      unit: '',
      minimum: -1,
      maximum: 1,
      default: 0,
      say: '-1 is left, 0 the middle, 1 right.',
    },
    {
      id: 'cvAmount',
      title: 'CV amount',
      type: 'number',
      unit: '',
      minimum: -1,
      maximum: 1,
      default: 1,
      say: 'How far 5 V at the CV input move the position; below 0 they move it to the left.',
    },
  ],
  keySettings: ['position'],
  flows: [
    { from: ['in'], to: ['left'], keepsKind: true, linear: true, picks: { setting: 'position', at: { in: -1 }, reach: 2 } },
    { from: ['in'], to: ['right'], keepsKind: true, linear: true, picks: { setting: 'position', at: { in: 1 }, reach: 2 } },
  ],
} as const satisfies BlockSpec;
