import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'comparator',
  group: 'shape',
  title: 'Comparator',
  also: ['threshold', 'gate extractor', 'schmitt trigger', 'window', 'voltage to gate', 'pulse from wave'],
  say: 'Says with a gate whether a voltage is above a threshold.',
  part: { one: 'comparator', many: 'comparators' },
  stem: 'comp',
  jobs: ['compare'],
  inputs: [
    { id: 'in', title: 'In', kind: 'control', edge: 'left' },
    {
      id: 'cv',
      title: 'Threshold CV',
      kind: 'control',
      acts: 'threshold',
      moves: { setting: 'threshold', law: 'add', perVolt: 1, within: [-24, 24] },
    },
  ],
  outputs: [
    { id: 'gate', title: 'Gate', kind: 'gate', each: 'rise through the threshold' },
    { id: 'inverted', title: 'Inverted', kind: 'gate', each: 'fall through the threshold', gives: 'opposite' },
  ],
  settings: [
    {
      id: 'threshold',
      title: 'Threshold',
      type: 'number',
      unit: 'V',
      minimum: -10,
      maximum: 10,
      default: 0,
      say: 'The gate goes high at this voltage; the Threshold CV is added to it.',
    },
    {
      id: 'hysteresis',
      title: 'Hysteresis',
      type: 'number',
      unit: 'V',
      minimum: 0,
      maximum: 5,
      default: 0.05,
      say: 'How far the input has to fall below the threshold before the gate goes low again.',
    },
  ],
  keySettings: ['threshold'],
  flows: [{ from: ['in', 'cv'], to: ['gate', 'inverted'], threshold: { of: 'in', setting: 'threshold' } }],
} as const satisfies BlockSpec;
