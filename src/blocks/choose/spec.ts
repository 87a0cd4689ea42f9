import type { BlockSpec, NumberSetting } from '../../patch/blockSpec.ts';

/** What an unpatched input rests at. */
function volts(n: number): NumberSetting {
  return {
    id: `volts${n}`,
    title: `Volts ${n}`,
    type: 'number',
    unit: 'V',
    minimum: -10,
    maximum: 10,
    default: 0,
    say: `The voltage of step ${n} while nothing is patched to In ${n}.`,
  };
}

const rests = { kind: 'control', edge: 'left', normalSay: 'its own volts' } as const;

export const spec = {
  type: 'choose',
  group: 'time',
  title: 'Sequential switch, many to one',
  also: ['selector', 'router', 'switch', 'multiplexer', 'scanner', 'row of voltages', 'steps'],
  say: 'Passes one input after another, one further at each clock.',
  part: { one: 'sequential switch (many to one)', many: 'sequential switches (many to one)' },
  stem: 'scan',
  jobs: ['choose', 'sequence'],
  inputs: [
    { id: 'clock', title: 'Clock', kind: 'gate', acts: 'clock' },
    { id: 'reset', title: 'Reset', kind: 'gate', acts: 'reset' },
    { id: 'address', title: 'Address', kind: 'control', normalSay: 'the clock decides', acts: 'address' },
    { id: 'in1', title: 'In 1', ...rests },
    { id: 'in2', title: 'In 2', ...rests },
    { id: 'in3', title: 'In 3', ...rests },
    { id: 'in4', title: 'In 4', ...rests },
    { id: 'in5', title: 'In 5', ...rests },
    { id: 'in6', title: 'In 6', ...rests },
    { id: 'in7', title: 'In 7', ...rests },
    { id: 'in8', title: 'In 8', ...rests },
  ],
  outputs: [
    { id: 'out', title: 'Out', kind: 'control' },
    { id: 'active1', title: 'Active 1', kind: 'gate' },
    { id: 'active2', title: 'Active 2', kind: 'gate' },
    { id: 'active3', title: 'Active 3', kind: 'gate' },
    { id: 'active4', title: 'Active 4', kind: 'gate' },
    { id: 'active5', title: 'Active 5', kind: 'gate' },
    { id: 'active6', title: 'Active 6', kind: 'gate' },
    { id: 'active7', title: 'Active 7', kind: 'gate' },
    { id: 'active8', title: 'Active 8', kind: 'gate' },
  ],
  settings: [
    {
      id: 'steps',
      title: 'Steps',
      type: 'number',
      unit: '',
      minimum: 1,
      maximum: 8,
      default: 4,
      whole: true,
      say: 'How many inputs take their turn.',
    },
    volts(1),
    volts(2),
    volts(3),
    volts(4),
    volts(5),
    volts(6),
    volts(7),
    volts(8),
  ],
  keySettings: ['steps'],
  flows: [{ from: ['in1', 'in2', 'in3', 'in4', 'in5', 'in6', 'in7', 'in8'], to: ['out'], keepsKind: true, linear: true }],
  needs: [
    {
      input: 'clock',
      outputs: ['active1', 'active2', 'active3', 'active4', 'active5', 'active6', 'active7', 'active8'],
      orPatched: ['address'],
      say: 'never starts, because nothing is patched to its clock or its address',
      still: 'never starts',
    },
  ],
} as const satisfies BlockSpec;
