import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'button',
  group: 'time',
  title: 'Push button',
  also: ['manual gate', 'manual trigger', 'tap', 'toggle', 'on off switch'],
  say: 'A gate and a trigger made by hand.',
  part: { one: 'push button', many: 'push buttons' },
  stem: 'push',
  jobs: ['hand'],
  inputs: [],
  outputs: [
    { id: 'gate', title: 'Gate', kind: 'gate', each: 'press' },
    { id: 'trigger', title: 'Trigger', kind: 'gate', each: 'press' },
    { id: 'toggle', title: 'Toggle', kind: 'gate', each: 'second press' },
  ],
  settings: [
    {
      id: 'mode',
      title: 'Mode',
      type: 'choice',
      choices: ['momentary', 'latching'],
      choiceTitles: ['Momentary', 'Latching'],
      default: 'momentary',
      say: 'Momentary: the gate is high while the button is held down. Latching: one push turns it on, the next one off.',
    },
  ],
  keySettings: ['mode'],
  pressed: true,
  chancy: true,
} as const satisfies BlockSpec;
