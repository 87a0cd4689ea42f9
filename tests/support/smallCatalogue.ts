/** A handful of made-up specs with every sort of port and setting, for tests that need no sound. */
import type { BlockSpec } from '../../src/patch/blockSpec.ts';
import { createCatalogue } from '../../src/patch/blockSpec.ts';

const part = { one: 'part', many: 'parts' };

const voice: BlockSpec = {
  type: 'voice',
  group: 'sound',
  title: 'Voice',
  say: 'A made-up source.',
  part,
  stem: 'osc',
  inputs: [
    { id: 'pitch', title: 'Pitch', kind: 'pitch' },
    { id: 'fm', title: 'FM', kind: 'audio', edge: 'bottom', amount: 'fmAmount' },
  ],
  outputs: [
    { id: 'sine', title: 'Sine', kind: 'audio' },
    { id: 'saw', title: 'Saw', kind: 'audio' },
  ],
  settings: [
    { id: 'tune', title: 'Tune', type: 'number', unit: 'Hz', minimum: 8, maximum: 12500, default: 261.6256, travel: 'ratio', note: true },
    { id: 'octave', title: 'Octave', type: 'number', unit: 'octaves', minimum: -5, maximum: 5, default: 0, whole: true },
    { id: 'fmAmount', title: 'FM amount', type: 'number', unit: '', minimum: -1, maximum: 1, default: 0.2 },
    { id: 'sync', title: 'Sync', type: 'choice', choices: ['hard', 'soft'], choiceTitles: ['Hard', 'Soft'], default: 'hard' },
  ],
  keySettings: ['tune'],
};

const gain: BlockSpec = {
  type: 'gain',
  group: 'shape',
  title: 'Amplifier',
  say: 'A made-up amplifier.',
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

const wave: BlockSpec = {
  type: 'wave',
  group: 'modulation',
  title: 'Slow wave',
  say: 'A made-up modulator.',
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

const row: BlockSpec = {
  type: 'row',
  group: 'time',
  title: 'Row of steps',
  say: 'A made-up sequencer.',
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

const speaker: BlockSpec = {
  type: 'speaker',
  group: 'space',
  title: 'Loudspeaker',
  say: 'A made-up output.',
  part,
  stem: 'out',
  inputs: [
    { id: 'left', title: 'Left', kind: 'audio' },
    { id: 'right', title: 'Right', kind: 'audio' },
  ],
  outputs: [],
  settings: [
    { id: 'level', title: 'Level', type: 'number', unit: 'dB', minimum: -60, maximum: 6, default: -6 },
    { id: 'ceiling', title: 'Ceiling', type: 'switch', default: true },
  ],
  keySettings: ['level'],
  bus: { left: 'busLeft', right: 'busRight', ceiling: 'ceiling' },
};

export const smallCatalogue = createCatalogue([voice, gain, wave, row, speaker]);
