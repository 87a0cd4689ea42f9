import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'latch',
  group: 'time',
  title: 'Flip-flop',
  also: ['latch', 'toggle', 'bistable', 'memory', 'set reset', 'divide by two', 'trigger to gate'],
  say: 'Remembers whether it is on: triggers turn it on, off or over.',
  part: { one: 'flip-flop', many: 'flip-flops' },
  stem: 'flip',
  jobs: ['flip'],
  inputs: [
    { id: 'toggle', title: 'Toggle', kind: 'gate', acts: 'toggle' },
    { id: 'set', title: 'Set', kind: 'gate', acts: 'fire' },
    { id: 'reset', title: 'Reset', kind: 'gate', acts: 'reset' },
  ],
  outputs: [
    { id: 'on', title: 'On', kind: 'gate', each: 'change to on' },
    { id: 'off', title: 'Off', kind: 'gate', each: 'change to off', gives: 'opposite' },
  ],
  settings: [],
  keySettings: [],
  flows: [{ from: ['toggle', 'set'], to: ['on'] }],
} as const satisfies BlockSpec;
