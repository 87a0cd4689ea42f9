import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'ringmod',
  group: 'shape',
  title: 'Ring modulator',
  also: ['multiplier', 'four-quadrant multiplier', 'product', 'balanced modulator', 'frequency doubler'],
  say: 'Multiplies two signals: two tones become their sum and their difference.',
  part: { one: 'ring modulator', many: 'ring modulators' },
  stem: 'ring',
  jobs: ['multiply'],
  inputs: [
    { id: 'x', title: 'X', kind: 'audio' },
    { id: 'y', title: 'Y', kind: 'audio' },
  ],
  outputs: [{ id: 'out', title: 'Out', kind: 'audio' }],
  settings: [],
  keySettings: [],
  flows: [{ from: ['x', 'y'], to: ['out'], keepsKind: true }],
  needs: [
    {
      input: 'x',
      outputs: ['out'],
      say: 'is silent: nothing is patched to its input "X", and 0 V times anything is 0 V',
      still: 'is silent',
    },
    {
      input: 'y',
      outputs: ['out'],
      say: 'is silent: nothing is patched to its input "Y", and 0 V times anything is 0 V',
      still: 'is silent',
    },
  ],
  overtones: true,
} as const satisfies BlockSpec;
