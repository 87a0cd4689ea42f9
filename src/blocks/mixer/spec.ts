import type { BlockSpec, NumberSetting } from '../../patch/blockSpec.ts';

const level = <Id extends string>(id: Id, title: string, say: string) =>
  ({ id, title, type: 'number', unit: '', minimum: -1, maximum: 1, default: 1, say }) as const satisfies NumberSetting;

const share = 'Share of this input in the sum; below 0 it is turned upside down.';

export const spec = {
  type: 'mixer',
  group: 'shape',
  title: 'Mixer',
  also: ['sum', 'adder', 'inverter', 'precision adder'],
  say: 'Adds up to six signals, sound or control, each with its own level, upright or inverted.',
  part: { one: 'mixer', many: 'mixers' },
  stem: 'mix',
  jobs: ['sum'],
  inputs: [
    { id: 'in1', title: 'In 1', kind: 'audio', edge: 'left' },
    { id: 'in2', title: 'In 2', kind: 'audio', edge: 'left' },
    { id: 'in3', title: 'In 3', kind: 'audio', edge: 'left' },
    { id: 'in4', title: 'In 4', kind: 'audio', edge: 'left' },
    { id: 'in5', title: 'In 5', kind: 'audio', edge: 'left' },
    { id: 'in6', title: 'In 6', kind: 'audio', edge: 'left' },
  ],
  outputs: [
    { id: 'sum', title: 'Sum', kind: 'audio' },
    { id: 'inverted', title: 'Inverted sum', kind: 'audio', gives: 'inverted' },
  ],
  settings: [
    level('level1', 'Level 1', share),
    level('level2', 'Level 2', share),
    level('level3', 'Level 3', share),
    level('level4', 'Level 4', share),
    level('level5', 'Level 5', share),
    level('level6', 'Level 6', share),
    level('level', 'Level', 'Scales the whole sum; below 0 it is turned upside down.'),
  ],
  keySettings: ['level'],
  flows: [
    {
      from: ['in1', 'in2', 'in3', 'in4', 'in5', 'in6'],
      to: ['sum', 'inverted'],
      keepsKind: true,
      linear: true,
      shutWhen: { settingsAtZero: ['level'], unpatched: [], say: 'its level is at 0' },
      levels: { in1: 'level1', in2: 'level2', in3: 'level3', in4: 'level4', in5: 'level5', in6: 'level6' },
    },
  ],
} as const satisfies BlockSpec;
