/** Six specs, thinned out to one of every sort of port and setting, for tests that need no sound. Their documents fit the full catalogue too. */
import type { BlockSpec } from '../../src/patch/blockSpec.ts';
import { createCatalogue } from '../../src/patch/blockSpec.ts';

const part = { one: 'part', many: 'parts' };

const oscillator: BlockSpec = {
  type: 'oscillator',
  group: 'sound',
  title: 'Oscillator',
  say: 'An oscillator, thinned out.',
  part,
  stem: 'osc',
  inputs: [
    { id: 'pitch', title: 'Pitch', kind: 'pitch' },
    { id: 'fmExp', title: 'FM', kind: 'audio', edge: 'bottom', amount: 'fmExpAmount' },
  ],
  outputs: [
    { id: 'sine', title: 'Sine', kind: 'audio' },
    { id: 'saw', title: 'Saw', kind: 'audio' },
  ],
  settings: [
    { id: 'tune', title: 'Tune', type: 'number', unit: 'Hz', minimum: 8, maximum: 12500, default: 261.6256, travel: 'ratio', note: true },
    { id: 'octave', title: 'Octave', type: 'number', unit: 'octaves', minimum: -5, maximum: 5, default: 0, whole: true },
    { id: 'fmExpAmount', title: 'FM amount', type: 'number', unit: '', minimum: -1, maximum: 1, default: 0.2 },
    { id: 'sync', title: 'Sync', type: 'choice', choices: ['hard', 'soft'], choiceTitles: ['Hard', 'Soft'], default: 'hard' },
  ],
  keySettings: ['tune'],
};

const amplifier: BlockSpec = {
  type: 'vca',
  group: 'shape',
  title: 'Amplifier',
  say: 'An amplifier, thinned out.',
  part,
  stem: 'amp',
  inputs: [
    { id: 'in', title: 'In', kind: 'audio' },
    { id: 'cv', title: 'CV', kind: 'control', amount: 'cvAmount' },
  ],
  outputs: [{ id: 'out', title: 'Out', kind: 'audio' }],
  settings: [
    { id: 'level', title: 'Level', type: 'number', unit: '', minimum: 0, maximum: 1, default: 0 },
    { id: 'cvAmount', title: 'CV amount', type: 'number', unit: '', minimum: -1, maximum: 1, default: 1 },
  ],
  keySettings: ['level'],
};

const lfo: BlockSpec = {
  type: 'lfo',
  group: 'modulation',
  title: 'LFO',
  say: 'A slow modulator, thinned out.',
  part,
  stem: 'lfo',
  inputs: [{ id: 'reset', title: 'Reset', kind: 'gate' }],
  outputs: [
    { id: 'triangle', title: 'Triangle', kind: 'control' },
    { id: 'square', title: 'Square', kind: 'gate' },
  ],
  settings: [{ id: 'rate', title: 'Rate', type: 'number', unit: 'Hz', minimum: 0.005, maximum: 200, default: 1, travel: 'ratio' }],
  keySettings: ['rate'],
};

const sequencer: BlockSpec = {
  type: 'sequencer',
  group: 'time',
  title: 'Step sequencer',
  say: 'A step sequencer, thinned out.',
  part,
  stem: 'seq',
  inputs: [{ id: 'clock', title: 'Clock', kind: 'gate' }],
  outputs: [
    { id: 'gate', title: 'Gate', kind: 'gate' },
    { id: 'pitch', title: 'Pitch', kind: 'pitch' },
  ],
  settings: [
    { id: 'length', title: 'Length', type: 'number', unit: 'notes', minimum: 1, maximum: 16, default: 8, whole: true },
    {
      id: 'steps',
      title: 'Steps',
      type: 'list',
      maximumLength: 16,
      fields: [
        { id: 'pitch', title: 'Pitch', type: 'number', unit: 'V', minimum: -10, maximum: 10, default: 0, pitchVolts: true },
        { id: 'gate', title: 'Gate', type: 'switch', default: true },
        { id: 'repeats', title: 'Repeats', type: 'number', unit: '', minimum: 1, maximum: 4, default: 1, whole: true },
      ],
      default: [],
    },
  ],
  keySettings: ['length'],
};

const output: BlockSpec = {
  type: 'output',
  group: 'space',
  title: 'Output',
  say: 'An output, thinned out.',
  part,
  stem: 'out',
  inputs: [
    { id: 'left', title: 'Left', kind: 'audio' },
    { id: 'right', title: 'Right', kind: 'audio' },
  ],
  outputs: [],
  settings: [
    { id: 'level', title: 'Level', type: 'number', unit: 'dB', minimum: -60, maximum: 6, default: -6 },
    { id: 'dcBlock', title: 'DC block', type: 'switch', default: true },
    { id: 'ceiling', title: 'Ceiling', type: 'switch', default: true },
  ],
  keySettings: ['level'],
  bus: { left: 'busLeft', right: 'busRight', level: 'level', dcBlock: 'dcBlock', ceiling: 'ceiling' },
};

const player: BlockSpec = {
  type: 'samplePlayer',
  group: 'sound',
  title: 'Sample player',
  say: 'A sample player, thinned out.',
  part,
  stem: 'player',
  inputs: [{ id: 'play', title: 'Play', kind: 'gate' }],
  outputs: [{ id: 'left', title: 'Left', kind: 'audio' }],
  settings: [
    { id: 'recording', title: 'Sound file', type: 'recording', default: '' },
    { id: 'loop', title: 'Loop', type: 'switch', default: false },
  ],
  keySettings: ['recording'],
};

export const smallCatalogue = createCatalogue([oscillator, amplifier, lfo, sequencer, output, player]);
