import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'vca',
  group: 'shape',
  title: 'Amplifier (VCA)',
  also: ['voltage-controlled amplifier', 'gain', 'gate', 'tremolo', 'amplitude modulation'],
  say: 'Makes a signal louder or quieter as a control voltage says: 0 V is closed, 8 V fully open.',
  part: { one: 'amplifier (VCA)', many: 'amplifiers (VCA)' },
  stem: 'amp',
  jobs: ['gain'],
  inputs: [
    { id: 'in', title: 'In', kind: 'audio' },
    { id: 'cv', title: 'CV', kind: 'control', acts: 'level', amount: 'cvAmount', moves: { setting: 'level', law: 'add', perVolt: 1 / 8 } },
  ],
  outputs: [{ id: 'out', title: 'Out', kind: 'audio' }],
  settings: [
    {
      id: 'level',
      title: 'Level',
      type: 'number',
      unit: '',
      minimum: 0,
      maximum: 1,
      default: 0,
      say: 'The opening while no control voltage adds to it: 0 is closed, 1 fully open.',
    },
    {
      id: 'cvAmount',
      title: 'CV amount',
      type: 'number',
      unit: '',
      minimum: -1,
      maximum: 1,
      default: 1,
      say: 'How far 8 V at the CV input open the amplifier; below 0 they close it.',
    },
    {
      id: 'response',
      title: 'Response',
      type: 'choice',
      choices: ['linear', 'exponential'],
      choiceTitles: ['Linear', 'Exponential'],
      default: 'linear',
      say: 'Linear suits control voltages and percussion, exponential follows the ear: 60 dB from barely open to fully open.',
    },
  ],
  keySettings: ['level', 'response'],
  flows: [
    {
      from: ['in'],
      to: ['out'],
      keepsKind: true,
      linear: true,
      shutWhen: {
        settingsAtZero: ['level'],
        unpatched: ['cv'],
        say: 'its level rests at 0 and nothing is patched to its CV input that could open it',
      },
    },
  ],
} as const satisfies BlockSpec;
