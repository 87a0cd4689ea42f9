import type { BlockSpec, NumberSetting } from '../../patch/blockSpec.ts';

const level = <Id extends string>(id: Id, title: string) =>
  ({
    id,
    title,
    type: 'number',
    unit: '',
    minimum: 0,
    maximum: 1,
    default: 0.8,
    say: 'Level of this input.',
  }) as const satisfies NumberSetting;

const pan = <Id extends string>(id: Id, title: string) =>
  ({
    id,
    title,
    type: 'number',
    unit: '',
    minimum: -1,
    maximum: 1,
    default: 0,
    say: '-1 is left, 0 the middle, 1 right.',
  }) as const satisfies NumberSetting;

const send = <Id extends string>(id: Id, title: string) =>
  ({
    id,
    title,
    type: 'number',
    unit: '',
    minimum: 0,
    maximum: 1,
    default: 0,
    say: 'How much of this input, after its level, goes to the send.',
  }) as const satisfies NumberSetting;

export const spec = {
  type: 'stereoMixer',
  group: 'shape',
  title: 'Stereo mixer',
  also: ['mixing desk', 'pan', 'aux send', 'effect send and return', 'master mixer'],
  say: 'Places up to four sounds between left and right, with a send and a return for an effect.',
  part: { one: 'stereo mixer', many: 'stereo mixers' },
  stem: 'stereo',
  jobs: ['sum', 'place'],
  inputs: [
    { id: 'in1', title: 'In 1', kind: 'audio' },
    { id: 'in2', title: 'In 2', kind: 'audio' },
    { id: 'in3', title: 'In 3', kind: 'audio' },
    { id: 'in4', title: 'In 4', kind: 'audio' },
    { id: 'returnLeft', title: 'Return left', kind: 'audio' },
    { id: 'returnRight', title: 'Return right', kind: 'audio' },
  ],
  outputs: [
    { id: 'left', title: 'Left', kind: 'audio' },
    { id: 'right', title: 'Right', kind: 'audio' },
    { id: 'send', title: 'Send', kind: 'audio' },
  ],
  settings: [
    level('level1', 'Level 1'),
    level('level2', 'Level 2'),
    level('level3', 'Level 3'),
    level('level4', 'Level 4'),
    pan('pan1', 'Pan 1'),
    pan('pan2', 'Pan 2'),
    pan('pan3', 'Pan 3'),
    pan('pan4', 'Pan 4'),
    send('send1', 'Send 1'),
    send('send2', 'Send 2'),
    send('send3', 'Send 3'),
    send('send4', 'Send 4'),
  ],
  keySettings: [],
  flows: [
    {
      from: ['in1', 'in2', 'in3', 'in4'],
      to: ['left', 'right'],
      levels: { in1: 'level1', in2: 'level2', in3: 'level3', in4: 'level4' },
      linear: true,
    },
    { from: ['in1', 'in2', 'in3', 'in4'], to: ['send'], levels: { in1: 'send1', in2: 'send2', in3: 'send3', in4: 'send4' }, linear: true },
    { from: ['returnLeft'], to: ['left'], linear: true },
    { from: ['returnRight'], to: ['right'], linear: true },
  ],
} as const satisfies BlockSpec;
