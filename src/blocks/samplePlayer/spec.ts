import type { BlockSpec } from '../../patch/blockSpec.ts';

export const spec = {
  type: 'samplePlayer',
  group: 'sound',
  title: 'Sample player',
  also: ['sampler', 'sound file', 'recording', 'WAV', 'one-shot', 'loop', 'tape', 'breakbeat'],
  say: 'Plays a sound file at each trigger, at 1 V per octave.',
  part: { one: 'sample player', many: 'sample players' },
  stem: 'player',
  jobs: ['playback'],
  inputs: [
    { id: 'play', title: 'Play', kind: 'gate', acts: 'fire' },
    { id: 'pitch', title: 'Pitch', kind: 'pitch', acts: 'pitch' },
    { id: 'start', title: 'Start', kind: 'control', acts: 'start' },
  ],
  outputs: [
    { id: 'left', title: 'Left', kind: 'audio' },
    { id: 'right', title: 'Right', kind: 'audio' },
    { id: 'end', title: 'End', kind: 'gate', each: 'end of the recording' },
  ],
  settings: [
    {
      id: 'recording',
      title: 'Sound file',
      type: 'recording',
      default: '',
      say: 'What is played: up to 30 seconds and 10 MB, kept in the notebook. A mono file plays on both sides.',
    },
    {
      id: 'loop',
      title: 'Loop',
      type: 'switch',
      default: false,
      say: 'On: after its end it goes on from the start without a gap, until it is switched off. With nothing at Play it starts by itself.',
    },
    {
      id: 'start',
      title: 'Start',
      type: 'number',
      unit: '',
      minimum: 0,
      maximum: 1,
      default: 0,
      say: 'Where in the file it starts, as a share of its length; 8 V at the input are the whole length.',
    },
    {
      id: 'gain',
      title: 'Gain',
      type: 'number',
      unit: 'dB',
      minimum: -40,
      maximum: 40,
      default: 0,
      say: 'At 0 dB, full scale of the file is 10 V.',
    },
  ],
  keySettings: ['recording'],
  needs: [
    {
      input: 'play',
      outputs: ['left', 'right', 'end'],
      unless: [{ setting: 'loop', is: true }],
      say: 'never starts, because nothing is patched to its play input and its loop is off',
      still: 'never starts',
    },
  ],
} as const satisfies BlockSpec;
