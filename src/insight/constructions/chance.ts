/** Constructions of chance and of melodies that nobody wrote. */
import { placeName } from '../../patch/document.ts';
import type { Construction } from './construction.ts';
import type { Match } from './pattern.ts';
import type { Reading } from './reading.ts';

/** Does the voltage stand still between its steps? */
function isStepped(match: Match, { wired }: Reading): boolean {
  const from = match.leads[0]?.from;
  const output = from && wired.blocks.get(from[0])?.spec.outputs.find(({ id }) => id === from[1]);
  return output !== undefined && !output.smooth && output.kind !== 'gate';
}

export const chance: readonly Construction[] = [
  {
    id: 'step-gated-randomness',
    name: 'Step-gated randomness',
    say: 'New random values are taken only at the steps that have a gate, so that chance keeps to the rhythm.',
    tryOut: 'Leave out more gates: the values stay longer, and each change weighs more.',
    heads: ['holder'],
    patterns: [
      {
        blocks: { holder: ['random'], row: ['sequence', 'pattern'] },
        leads: [{ from: 'row', to: 'holder', acts: ['hold', 'clock'] }],
      },
      {
        // the random voltage is there all the time, and the gate lets it through
        blocks: { holder: ['random'], row: ['sequence', 'pattern'], amplifier: ['gain'] },
        leads: [
          { from: 'row', to: 'amplifier', acts: ['level'] },
          { from: 'holder', to: 'amplifier', acts: ['signal'] },
        ],
      },
    ],
  },
  {
    id: 'sample-and-hold-melody',
    name: 'Sample and hold melody',
    say: 'At each clock a voltage is taken and held as the next pitch, so that the melody jumps from note to note without a plan.',
    tryOut: 'Send the voltage through a quantizer: the same jumps, now in a scale.',
    heads: ['holder'],
    patterns: [
      {
        blocks: { holder: ['random'], voice: ['tone', 'drum', 'playback'] },
        leads: [{ from: 'holder', to: 'voice', acts: ['pitch'], through: ['quantize', 'gain', 'choose'] }],
        such: isStepped,
      },
    ],
    within: ['canon'],
  },
  {
    id: 'random-walk',
    name: 'Random walk through a row',
    say: 'Chance decides whether the row goes on or turns back, so that the melody wanders among neighbours and never leaps.',
    tryOut: 'Shift the random voltage: one of the two ways becomes the more likely.',
    heads: ['chance', 'row'],
    patterns: [
      {
        blocks: { chance: ['random', 'lot', 'noise'], row: ['sequence'] },
        leads: [{ from: 'chance', to: 'row', acts: ['direction', 'address'], through: ['compare', 'gain'] }],
      },
    ],
  },
  {
    id: 'quantized-wave',
    name: 'Melody from a wave through a quantizer',
    say: 'A slow wave runs up and down and the quantizer turns it into the notes of a scale: a run that rises and falls.',
    tryOut: 'Change the size of the wave: the run gets wider, its notes stay in the scale.',
    heads: ['wave', 'quantizer'],
    patterns: [
      {
        blocks: { wave: ['cycle', 'envelope'], quantizer: ['quantize'], voice: ['tone', 'drum', 'playback'] },
        leads: [
          { from: 'wave', to: 'quantizer', acts: ['signal'], through: ['gain'] },
          { from: 'quantizer', to: 'voice', acts: ['pitch'] },
        ],
      },
    ],
  },
  {
    id: 'canon',
    name: 'Canon from a shift register',
    say: 'Voices take over one another\u2019s notes, each one clock later, so that a single melody answers itself.',
    tryOut: 'Clock the register at every second note: the voices follow each other at a greater distance.',
    heads: ['register'],
    patterns: [
      {
        blocks: { register: ['shift'], one: ['tone', 'drum', 'playback'], other: ['tone', 'drum', 'playback'] },
        leads: [
          { from: 'register', to: 'one', acts: ['pitch'], through: ['quantize'] },
          { from: 'register', to: 'other', acts: ['pitch'], through: ['quantize'] },
        ],
        such: ({ leads: [one, other] }) => one?.from[1] !== other?.from[1],
      },
    ],
  },
  {
    id: 'shift-of-gates',
    name: 'Clocked shift of gates',
    say: 'A rhythm moves through a shift register, one place further at each clock, so that several sounds play the same rhythm one after the other.',
    tryOut: 'Let the register come round: the rhythm repeats itself without its source.',
    heads: ['register'],
    patterns: [
      {
        blocks: {
          register: ['shift'],
          rhythm: ['sequence', 'pattern', 'hand', 'lot', 'compare', 'logic', 'random', 'divide', 'clock', 'flip', 'times', 'delayGate'],
          struck: ['envelope', 'drum', 'pluck', 'playback', 'gain', 'flip', 'delayGate', 'random', 'sequence'],
        },
        leads: [
          { from: 'rhythm', to: 'register', acts: ['signal'] },
          { from: 'register', to: 'struck', acts: ['fire', 'level', 'hold', 'clock', 'toggle'] },
        ],
        such: ({ leads: [rhythm] }, { kinds }) => rhythm !== undefined && kinds.get(placeName(rhythm.from)) === 'gate',
      },
    ],
  },
];
