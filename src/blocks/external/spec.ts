import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'external',
  group: 'sound',
  title: 'Live input',
  also: ['microphone', 'mic', 'line in', 'external input', 'audio in', 'preamplifier', 'guitar', 'voice'],
  say: 'The microphone or line input of this device, while the sound is on. Silent in takes.',
  part: { one: 'external input', many: 'external inputs' },
  stem: 'in',
  jobs: ['live'],
  inputs: [],
  outputs: [
    { id: 'left', title: 'Left', kind: 'audio' },
    { id: 'right', title: 'Right', kind: 'audio' },
  ],
  settings: [
    {
      id: 'gain',
      title: 'Gain',
      type: 'number',
      unit: 'dB',
      minimum: -40,
      maximum: 40,
      default: 0,
      say: 'At 0 dB, full scale of the input is 10 V; a microphone usually needs more.',
    },
  ],
  keySettings: ['gain'],
  liveInput: true,
} as const satisfies BlockSpec;
