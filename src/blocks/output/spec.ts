import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'output',
  group: 'space',
  title: 'Output',
  also: ['loudspeaker', 'headphones', 'master', 'speakers', 'audio out'],
  say: 'What is patched here is heard and recorded; 10 V are digital full scale.',
  part: { one: 'output', many: 'outputs' },
  stem: 'out',
  inputs: [
    { id: 'left', title: 'Left', kind: 'audio' },
    { id: 'right', title: 'Right', kind: 'audio', normalFrom: 'left', normalSay: 'the left input' },
  ],
  outputs: [],
  settings: [
    {
      id: 'level',
      title: 'Level',
      type: 'number',
      unit: 'dB',
      minimum: -60,
      maximum: 6,
      default: -6,
      say: 'Level of the sound that leaves the patch.',
    },
    {
      id: 'dcBlock',
      title: 'DC block',
      type: 'switch',
      default: true,
      say: 'Keeps direct voltage and anything below 5 Hz away from the loudspeakers.',
    },
    {
      id: 'ceiling',
      title: 'Ceiling',
      type: 'switch',
      default: true,
      say: 'Holds peaks below -1 dBTP; quieter sound passes untouched.',
    },
  ],
  keySettings: ['level'],
  bus: { left: 'busLeft', right: 'busRight', level: 'level', dcBlock: 'dcBlock', ceiling: 'ceiling' },
} as const satisfies BlockSpec;
