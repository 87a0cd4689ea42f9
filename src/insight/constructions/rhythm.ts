/** Constructions of rhythm and of pitch in time. */

import type { Job } from '../../patch/roles.ts';
import type { Construction } from './construction.ts';
import { figuresOf, hasJob, type Reading } from './reading.ts';

export const rhythm: readonly Construction[] = [
  {
    id: 'divided-clock',
    name: 'Rhythms from divisions of one clock',
    say: 'Several divisions of the same pulse strike different things: they fall together, drift apart and meet again after a long while.',
    tryOut: 'Use divisions without a common factor, such as 3, 4 and 5: the pattern gets longer.',
    heads: ['divider'],
    patterns: [
      {
        blocks: {
          divider: ['divide'],
          one: [
            'envelope',
            'drum',
            'pluck',
            'playback',
            'sequence',
            'random',
            'filter',
            'pattern',
            'gain',
            'flip',
            'shift',
            'cycle',
            'delayGate',
          ],
          other: [
            'envelope',
            'drum',
            'pluck',
            'playback',
            'sequence',
            'random',
            'filter',
            'pattern',
            'gain',
            'flip',
            'shift',
            'cycle',
            'delayGate',
          ],
        },
        leads: [
          { from: 'divider', to: 'one', acts: ['fire', 'clock', 'hold', 'level', 'signal', 'toggle', 'reset'] },
          { from: 'divider', to: 'other', acts: ['fire', 'clock', 'hold', 'level', 'signal', 'toggle', 'reset'] },
        ],
        such: ({ leads: [one, other] }) => one?.from[1] !== other?.from[1],
      },
    ],
  },
  {
    id: 'burst',
    name: 'Burst of gates',
    say: 'Each gate becomes several quick ones: a roll, a ratchet, a skipping stone.',
    tryOut: 'Let chance choose which gates burst.',
    heads: ['burst'],
    patterns: [
      {
        blocks: {
          burst: ['delayGate'],
          gate: [
            'clock',
            'divide',
            'times',
            'pattern',
            'sequence',
            'hand',
            'random',
            'lot',
            'compare',
            'logic',
            'flip',
            'shift',
            'deal',
            'envelope',
          ],
        },
        leads: [{ from: 'gate', to: 'burst', acts: ['fire'] }],
        // heard: more gates leave than come
        such: ({ blocks: { burst }, leads: [arrival] }, reading) => {
          const came = arrival && figuresOf(reading, arrival.from)?.rises;
          const left = burst?.spec.outputs.map(({ id }) => figuresOf(reading, [burst.block.id, id])?.rises ?? 0) ?? [];
          return came !== undefined && came > 0 && Math.max(...left) >= 1.5 * came;
        },
      },
    ],
  },
  {
    id: 'glide',
    name: 'Glide',
    say: 'The pitch slides from note to note instead of jumping, because a slew limiter lets it move only so fast.',
    tryOut: 'Let it rise slowly and fall at once, or the other way round.',
    find: (reading) =>
      (['tone', 'drum', 'playback'] as const).flatMap((job) =>
        reading.byJob(job).flatMap(({ block, spec }) =>
          spec.inputs
            .filter(({ acts }) => acts === 'pitch')
            .flatMap(({ id }) => reading.arrivals([block.id, id]))
            .flatMap(({ from, via, cables }) => {
              const slides = via.filter((id) => isA(reading, id, 'smooth'));
              const jumps = isA(reading, from[0], 'sequence', 'hand', 'random', 'quantize', 'shift');
              return slides.map((slide) => ({ blocks: jumps ? [slide, from[0], ...via, block.id] : [], heads: 1, cables }));
            })
            .filter(({ blocks }) => blocks.length > 0),
        ),
      ),
  },
];

function isA({ wired }: Reading, block: string, ...jobs: readonly Job[]): boolean {
  const known = wired.blocks.get(block);
  return known !== undefined && hasJob(known, ...jobs);
}
