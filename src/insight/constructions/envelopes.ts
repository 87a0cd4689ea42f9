/** Constructions of envelopes and strokes. */
import { findSetting, settingValue } from '../../patch/settings.ts';
import type { KnownBlock } from '../wired.ts';
import type { Construction } from './construction.ts';
import { kindOf } from './pattern.ts';

export const envelopes: readonly Construction[] = [
  {
    id: 'second-envelope-after-attack',
    name: 'Second envelope fired by the end of the first one\u2019s attack',
    say: 'The second envelope waits until the first has reached its peak, so that two movements follow each other as one gesture.',
    tryOut: 'Lengthen the attack of the first: the second comes later by as much.',
    heads: ['first', 'second'],
    patterns: [
      {
        blocks: { first: ['envelope'], second: ['envelope'] },
        leads: [{ from: 'first', gives: 'attackEnd', to: 'second', acts: ['fire'] }],
      },
    ],
  },
  {
    id: 'envelopes-in-a-row',
    name: 'Envelopes in a row',
    say: 'Each envelope starts the next when its own cycle is over, so that one gate sets off a long gesture of several parts.',
    tryOut: 'Run the end of the last one to the start of the first: the gesture goes round for ever.',
    heads: ['first', 'second'],
    patterns: [
      {
        blocks: { first: ['envelope'], second: ['envelope'] },
        leads: [{ from: 'first', gives: 'cycleEnd', to: 'second', acts: ['fire'] }],
      },
    ],
  },
  {
    id: 'alternating-envelopes',
    name: 'Alternating envelopes',
    say: 'A switch sends the gates to two envelopes in turn, so that two sounds answer each other from one row of gates.',
    tryOut: 'Give the two envelopes very different times: long, short, long, short.',
    heads: ['switch'],
    patterns: [
      {
        blocks: { switch: ['flip', 'deal', 'compare'], one: ['envelope', 'pluck', 'drum'], other: ['envelope', 'pluck', 'drum'] },
        leads: [
          { from: 'switch', to: 'one', acts: ['fire'] },
          { from: 'switch', to: 'other', acts: ['fire'] },
        ],
        such: ({ leads: [one, other] }) => one?.from[1] !== other?.from[1],
      },
    ],
  },
  {
    id: 'low-pass-gate-pluck',
    name: 'Low-pass-gate pluck',
    say: 'A trigger strikes a low-pass gate: it opens at once and falls slowly, the high tones first, as a plucked string or a struck drum does.',
    tryOut: 'Strike it harder and softer: with the loudness the brightness changes, too.',
    heads: ['gate'],
    patterns: [
      {
        blocks: {
          gate: ['pluck'],
          striker: [
            'sequence',
            'clock',
            'divide',
            'times',
            'pattern',
            'hand',
            'random',
            'logic',
            'lot',
            'delayGate',
            'compare',
            'flip',
            'deal',
            'shift',
            'envelope',
            'cycle',
          ],
          sound: ['tone', 'noise', 'playback', 'live', 'filter', 'shape', 'multiply', 'fade', 'choose', 'drum', 'echo'],
        },
        leads: [
          { from: 'striker', to: 'gate', acts: ['fire'] },
          { from: 'sound', to: 'gate', acts: ['signal'] },
        ],
      },
    ],
  },
  {
    id: 'followed-filter',
    name: 'Envelope follower on a filter',
    say: 'The loudness of a sound opens a filter, so that the colour follows how hard it is played.',
    tryOut: 'Turn the amount below 0: loud strokes are now the dark ones.',
    heads: ['follower', 'filter'],
    patterns: [
      {
        blocks: { follower: ['follow'], filter: ['filter'] },
        leads: [{ from: 'follower', to: 'filter', acts: ['cutoff'] }],
      },
    ],
  },
  {
    id: 'struck-filter',
    name: 'Filter struck by a trigger',
    say: 'A filter close to oscillation rings when a short trigger enters it, like a bell that is struck; no oscillator is needed.',
    tryOut: 'Take the resonance down a little: the bell becomes a wooden block.',
    heads: ['filter'],
    patterns: [
      {
        blocks: {
          filter: ['filter'],
          striker: [
            'clock',
            'divide',
            'times',
            'pattern',
            'sequence',
            'hand',
            'logic',
            'lot',
            'delayGate',
            'compare',
            'random',
            'shift',
            'flip',
            'deal',
          ],
        },
        leads: [{ from: 'striker', to: 'filter', acts: ['signal'] }],
        such: ({ blocks: { filter }, leads: [strike] }, reading) =>
          strike !== undefined && filter !== undefined && kindOf(reading, strike) === 'gate' && nearOscillation(filter),
      },
    ],
    heuristic: true,
  },
];

/** How near to its oscillation a filter has to be to ring for many cycles (our choice). */
const RINGS_FROM = 0.9;

function nearOscillation({ block, spec }: KnownBlock): boolean {
  const alone = (spec.flows ?? []).find((flow) => flow.alone)?.alone;
  const setting = alone && findSetting(spec, alone.setting);
  return alone !== undefined && setting !== undefined && Number(settingValue(block, setting)) >= RINGS_FROM * alone.atLeast;
}
