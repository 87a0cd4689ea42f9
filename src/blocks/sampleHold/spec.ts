import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'sampleHold',
  group: 'modulation',
  title: 'Sample and hold',
  also: ['S&H', 'track and hold', 'T&H', 'stepped random', 'random steps'],
  say: 'Takes the input at each trigger and holds it until the next.',
  part: { one: 'sample and hold', many: 'sample and holds' },
  stem: 'hold',
  jobs: ['random'],
  inputs: [
    { id: 'in', title: 'In', kind: 'control', edge: 'left', normalSay: 'white noise' },
    { id: 'trigger', title: 'Trigger', kind: 'gate', acts: 'hold' },
  ],
  outputs: [{ id: 'out', title: 'Out', kind: 'control' }],
  settings: [
    {
      id: 'mode',
      title: 'Mode',
      type: 'choice',
      choices: ['sample', 'track'],
      choiceTitles: ['Sample and hold', 'Track and hold'],
      default: 'sample',
      say: 'Sample: takes one value at each trigger. Track: follows while the trigger is high, holds while it is low.',
    },
  ],
  keySettings: ['mode'],
  flows: [{ from: ['in'], to: ['out'] }],
  needs: [{ input: 'trigger', outputs: ['out'], say: 'stays at 0 V, because nothing is patched to its trigger', still: 'stays at 0 V' }],
  chancy: true,
  holds: { input: 'in', trigger: 'trigger', output: 'out' },
} as const satisfies BlockSpec;
