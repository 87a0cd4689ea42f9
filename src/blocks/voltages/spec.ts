import type { BlockSpec, NumberSetting } from '../../patch/blockSpec.ts';

const volts = <Id extends string>(id: Id, title: string) =>
  ({
    id,
    title,
    type: 'number',
    unit: 'V',
    minimum: -10,
    maximum: 10,
    default: 0,
    say: 'The voltage at this output.',
  }) as const satisfies NumberSetting;

export const spec = {
  type: 'voltages',
  group: 'shape',
  title: 'Fixed voltages',
  also: ['voltage source', 'constant', 'offset', 'manual control', 'macro control', 'transpose'],
  say: 'Four voltages set by hand.',
  part: { one: 'set of fixed voltages', many: 'sets of fixed voltages' },
  stem: 'volts',
  jobs: ['fixed'],
  inputs: [],
  outputs: [
    { id: 'out1', title: 'Out 1', kind: 'control' },
    { id: 'out2', title: 'Out 2', kind: 'control' },
    { id: 'out3', title: 'Out 3', kind: 'control' },
    { id: 'out4', title: 'Out 4', kind: 'control' },
  ],
  settings: [volts('volts1', 'Volts 1'), volts('volts2', 'Volts 2'), volts('volts3', 'Volts 3'), volts('volts4', 'Volts 4')],
  keySettings: ['volts1', 'volts2', 'volts3', 'volts4'],
} as const satisfies BlockSpec;
