import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'rectifier',
  group: 'shape',
  title: 'Rectifier',
  also: ['full wave', 'half wave', 'absolute value', 'octave up', 'diode', 'positive and negative part'],
  say: 'Turns the negative half of a signal up, or splits it into its positive and its negative part.',
  part: { one: 'rectifier', many: 'rectifiers' },
  stem: 'rect',
  jobs: ['rectify', 'shape'],
  inputs: [{ id: 'in', title: 'In', kind: 'audio' }],
  outputs: [
    { id: 'full', title: 'Full wave', kind: 'audio' },
    { id: 'positive', title: 'Positive', kind: 'audio' },
    { id: 'negative', title: 'Negative', kind: 'audio' },
  ],
  settings: [],
  keySettings: [],
  flows: [{ from: ['in'], to: ['full', 'positive', 'negative'], keepsKind: true }],
  overtones: true,
} as const satisfies BlockSpec;
