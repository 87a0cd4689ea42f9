import type { BlockSpec, NumberSetting } from '../../patch/blockSpec.ts';

const time = <Id extends string>(id: Id, title: string, say: string) =>
  ({ id, title, type: 'number', unit: 's', minimum: 0, maximum: 20, default: 0.1, travel: 'ratio', say }) as const satisfies NumberSetting;

export const spec = {
  type: 'slew',
  group: 'modulation',
  title: 'Slew, lag',
  also: ['slew limiter', 'portamento', 'glide', 'lag', 'integrator', 'smoother', 'edge to gate'],
  say: 'Lets a voltage rise and fall only so fast: steps become slopes.',
  part: { one: 'slew limiter', many: 'slew limiters' },
  stem: 'slew',
  jobs: ['smooth'],
  inputs: [
    { id: 'in', title: 'In', kind: 'control', edge: 'left' },
    { id: 'cv', title: 'CV', kind: 'control', amount: 'cvAmount', acts: 'time' },
  ],
  outputs: [
    { id: 'out', title: 'Out', kind: 'control', smooth: true },
    { id: 'rising', title: 'Rising', kind: 'gate', each: 'rise' },
    { id: 'falling', title: 'Falling', kind: 'gate', each: 'fall' },
  ],
  settings: [
    time('rise', 'Rise', 'Time for 10 V upwards; 0 follows at once.'),
    time('fall', 'Fall', 'Time for 10 V downwards; 0 follows at once.'),
    {
      id: 'shape',
      title: 'Shape',
      type: 'number',
      unit: '',
      minimum: -1,
      maximum: 1,
      default: 0,
      say: 'Below 0 it moves fast first, like a charging capacitor; above 0 fast last; 0 is a straight line.',
    },
    {
      id: 'cvAmount',
      title: 'CV amount',
      type: 'number',
      unit: '',
      minimum: -1,
      maximum: 1,
      default: 0.5,
      say: 'At 0.5 each volt doubles both times, at -0.5 each volt halves them.',
    },
  ],
  keySettings: ['rise', 'fall'],
  flows: [{ from: ['in'], to: ['out', 'rising', 'falling'] }],
} as const satisfies BlockSpec;
