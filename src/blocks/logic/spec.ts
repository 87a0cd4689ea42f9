import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'logic',
  group: 'time',
  title: 'Logic',
  also: ['and', 'or', 'xor', 'not', 'gate combiner', 'boolean', 'analog or', 'minimum maximum'],
  say: 'Combines two gates; also the higher and the lower of two voltages.',
  part: { one: 'logic block', many: 'logic blocks' },
  stem: 'log',
  jobs: ['logic'],
  inputs: [
    { id: 'a', title: 'A', kind: 'gate', edge: 'left' },
    { id: 'b', title: 'B', kind: 'gate', edge: 'left' },
  ],
  outputs: [
    { id: 'and', title: 'And', kind: 'gate' },
    { id: 'or', title: 'Or', kind: 'gate' },
    { id: 'xor', title: 'Exclusive or', kind: 'gate' },
    { id: 'not', title: 'Not A', kind: 'gate' },
    { id: 'maximum', title: 'Maximum', kind: 'control' },
    { id: 'minimum', title: 'Minimum', kind: 'control' },
  ],
  settings: [],
  keySettings: [],
  flows: [{ from: ['a', 'b'], to: ['and', 'or', 'xor', 'maximum', 'minimum'] }],
  needs: [
    { input: 'a', outputs: ['and'], say: 'never gives "And", because nothing is patched to its input "A"', still: 'never gives "And"' },
    { input: 'b', outputs: ['and'], say: 'never gives "And", because nothing is patched to its input "B"', still: 'never gives "And"' },
  ],
} as const satisfies BlockSpec;
