import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'chance',
  group: 'time',
  title: 'Chance gate',
  also: ['probability', 'coin toss', 'random gate', 'luck'],
  say: 'Sends each gate to one of two outputs by lot.',
  part: { one: 'chance gate', many: 'chance gates' },
  stem: 'chance',
  jobs: ['lot'],
  inputs: [
    { id: 'in', title: 'In', kind: 'gate', acts: 'clock' },
    {
      id: 'chanceCv',
      title: 'Chance CV',
      kind: 'control',
      acts: 'chance',
      amount: 'chanceAmount',
      moves: { setting: 'chance', law: 'add', perVolt: 1 / 8 },
    },
  ],
  outputs: [
    { id: 'a', title: 'A', kind: 'gate', each: 'gate by lot' },
    { id: 'b', title: 'B', kind: 'gate', each: 'gate by lot', gives: 'opposite' },
  ],
  settings: [
    {
      id: 'chance',
      title: 'Chance of A',
      type: 'number',
      unit: '',
      minimum: 0,
      maximum: 1,
      default: 0.5,
      say: 'Share of the gates that go to A: 0 none, 1 all.',
    },
    {
      id: 'chanceAmount',
      title: 'Chance amount',
      type: 'number',
      unit: '',
      minimum: -1,
      maximum: 1,
      default: 0.5,
      say: 'What 8 V at Chance CV add to the chance of A.',
    },
  ],
  keySettings: ['chance'],
  needs: [{ input: 'in', outputs: ['a', 'b'], say: 'stays low, because nothing is patched to its input', still: 'stays low' }],
  mutes: [
    { outputs: ['a'], when: [{ setting: 'chance', is: 0 }], say: 'never sends a gate to A, because its chance of A is 0' },
    { outputs: ['b'], when: [{ setting: 'chance', is: 1 }], say: 'never sends a gate to B, because its chance of A is 1' },
  ],
  chancy: true,
} as const satisfies BlockSpec;
