import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'noise',
  group: 'sound',
  title: 'Noise',
  also: ['white noise', 'pink noise', 'red noise', 'brown noise', 'hiss', 'wind', 'random'],
  say: 'White, pink and red noise at once.',
  part: { one: 'noise source', many: 'noise sources' },
  stem: 'noise',
  jobs: ['noise'],
  inputs: [],
  outputs: [
    { id: 'white', title: 'White', kind: 'audio' },
    { id: 'pink', title: 'Pink', kind: 'audio' },
    { id: 'red', title: 'Red', kind: 'audio' },
  ],
  settings: [],
  keySettings: [],
  chancy: true,
} as const satisfies BlockSpec;
