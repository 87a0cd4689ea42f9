import type { BlockSpec, NumberSetting } from '../../patch/blockSpec.ts';

const time = <Id extends string>(id: Id, title: string, standard: number, say: string) =>
  ({
    id,
    title,
    type: 'number',
    unit: 's',
    minimum: 0.0003,
    maximum: 20,
    default: standard,
    travel: 'ratio',
    say,
  }) as const satisfies NumberSetting;

const amount = <Id extends string>(id: Id, title: string) =>
  ({
    id,
    title,
    type: 'number',
    unit: '',
    minimum: -1,
    maximum: 1,
    default: 0.5,
    say: 'At 0.5 each volt doubles the time, at -0.5 each volt halves it.',
  }) as const satisfies NumberSetting;

export const spec = {
  type: 'contour',
  group: 'envelope',
  title: 'Envelope, contour',
  also: ['envelope generator', 'contour generator', 'adsr', 'attack decay', 'function generator', 'transient generator'],
  say: 'A voltage that rises and falls once for each gate: it shapes loudness, brightness or anything with a control input.',
  part: { one: 'envelope', many: 'envelopes' },
  stem: 'env',
  jobs: ['envelope'],
  inputs: [
    { id: 'gate', title: 'Gate', kind: 'gate', acts: 'fire' },
    { id: 'retrigger', title: 'Retrigger', kind: 'gate', acts: 'fire' },
    { id: 'attackCv', title: 'Attack CV', kind: 'control', amount: 'attackAmount', acts: 'attack' },
    { id: 'decayCv', title: 'Decay CV', kind: 'control', amount: 'decayAmount', acts: 'decay' },
    { id: 'releaseCv', title: 'Release CV', kind: 'control', amount: 'releaseAmount', acts: 'release' },
  ],
  outputs: [
    { id: 'contour', title: 'Contour', kind: 'control' },
    { id: 'inverted', title: 'Inverted', kind: 'control', gives: 'inverted' },
    { id: 'attackEnd', title: 'Attack end', kind: 'gate', each: 'end of the attack', gives: 'attackEnd' },
    { id: 'cycleEnd', title: 'Cycle end', kind: 'gate', each: 'end of the cycle', gives: 'cycleEnd' },
  ],
  settings: [
    {
      id: 'shape',
      title: 'Shape',
      type: 'choice',
      choices: ['ad', 'asr', 'adsr'],
      choiceTitles: ['AD', 'ASR', 'ADSR'],
      default: 'ad',
      say: 'AD: attack and decay run through once the gate begins. ASR: attack, hold while the gate is high, release. ADSR: with a decay to the sustain level in between.',
    },
    time('attack', 'Attack', 0.01, 'Time from 0 V to the peak of 8 V.'),
    time('decay', 'Decay', 0.3, 'Time from the peak to 0 V, or to the sustain level.'),
    {
      id: 'sustain',
      title: 'Sustain',
      type: 'number',
      unit: '',
      minimum: 0,
      maximum: 1,
      default: 0.5,
      say: 'Share of the peak at which it waits for the end of the gate.',
    },
    time('release', 'Release', 0.3, 'Time from the end of the gate to 0 V.'),
    {
      id: 'curve',
      title: 'Curve',
      type: 'number',
      unit: '',
      minimum: -1,
      maximum: 1,
      default: -0.6,
      say: 'Below 0 it moves fast first, like a charging capacitor; above 0 fast last; 0 is a straight line. Acts from the next segment on.',
    },
    {
      id: 'loop',
      title: 'Loop',
      type: 'choice',
      choices: ['off', 'on', 'gated'],
      choiceTitles: ['Off', 'On', 'While the gate is high'],
      default: 'off',
      say: 'Begins again at the end of each cycle, by itself or only while the gate is high.',
    },
    amount('attackAmount', 'Attack amount'),
    amount('decayAmount', 'Decay amount'),
    amount('releaseAmount', 'Release amount'),
  ],
  keySettings: ['shape', 'attack', 'decay'],
  needs: [
    {
      input: 'gate',
      outputs: ['contour', 'inverted', 'attackEnd', 'cycleEnd'],
      unless: [{ setting: 'loop', is: 'on' }],
      orPatched: ['retrigger'],
      rests: { inverted: 8 },
      say: 'never starts, because nothing is patched to its gate',
      still: 'never starts',
    },
  ],
  envelope: { starts: ['gate', 'retrigger'], output: 'contour', peakVolts: 8, attack: 'attack', fall: { by: 'shape', of: { ad: 'decay', asr: 'release', adsr: 'release' } } },
} as const satisfies BlockSpec;
