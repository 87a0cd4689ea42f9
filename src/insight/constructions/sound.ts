/** Constructions at audio rate, and of sound that goes round. */
import { findSetting, settingValue } from '../../patch/settings.ts';
import { inputSpec } from '../wired.ts';
import type { Construction } from './construction.ts';
import { AUDIO_HZ, passesSound } from './movement.ts';
import { inputOf, kindOf, type Match } from './pattern.ts';
import { type Arrival, compareIds, hertzOf, type Reading, swingVolts, tuningOf } from './reading.ts';

/** From this feedback on a short delay rings long enough to be heard as a string (our choice). */
const STRING_FEEDBACK = 0.8;
/** Two tones this near to each other beat instead of making an interval, in cents (our choice). */
const BEATING_CENTS: readonly [number, number] = [0.5, 35];

function isTone(reading: Reading, arrival: Arrival | undefined): boolean {
  const hertz = arrival && hertzOf(reading, arrival.from);
  if (hertz !== undefined) return hertz >= AUDIO_HZ;
  // Played by a cable and not heard: what is drawn as audio is taken for it.
  return arrival !== undefined && reading.heard === undefined && kindOf(reading, arrival) === 'audio';
}

export const sound: readonly Construction[] = [
  {
    id: 'audio-rate-fm',
    name: 'Frequency modulation at audio rate',
    say: 'One tone bends the frequency of another so fast that the ear hears no wobble but new overtones: bells, reeds, metal.',
    tryOut: 'Change the ratio of the two tunings: whole numbers sound harmonic, others like metal.',
    heads: ['modulator', 'carrier'],
    heuristic: true,
    patterns: [
      {
        blocks: { modulator: ['tone', 'cycle', 'filter'], carrier: ['tone'] },
        leads: [{ from: 'modulator', to: 'carrier', acts: ['frequency', 'pitch'], through: ['gain'] }],
        such: ({ leads: [arrival] }, reading) =>
          isTone(reading, arrival) && arrival !== undefined && swingVolts(reading, arrival) !== 0 && !isPitchCable(reading, arrival),
      },
    ],
  },
  {
    id: 'amplitude-modulation',
    name: 'Amplitude modulation at audio rate',
    say: 'One tone opens and closes the amplifier of another so fast that sums and differences of their frequencies are heard beside them.',
    tryOut: 'Tune one of them slowly: side tones move up and down against the tone that stays.',
    heads: ['modulator', 'amplifier'],
    heuristic: true,
    patterns: [
      {
        blocks: { modulator: ['tone', 'cycle'], amplifier: ['gain'] },
        leads: [{ from: 'modulator', to: 'amplifier', acts: ['level'], through: ['gain'] }],
        such: ({ leads: [arrival] }, reading) => isTone(reading, arrival) && passesSound(reading, arrival?.to[0] ?? ''),
      },
    ],
  },
  {
    id: 'ring-modulation',
    name: 'Ring modulation',
    say: 'Two sounds are multiplied, so that only the sums and differences of their frequencies are left: bells, robots, distant radio.',
    tryOut: 'Tune one of them by small steps: the same tune sounds harmonic at one place and broken at the next.',
    heads: ['multiplier'],
    patterns: [
      {
        blocks: {
          multiplier: ['multiply'],
          one: ['tone', 'noise', 'playback', 'live', 'filter', 'drum', 'shape', 'gain', 'echo'],
          other: ['tone', 'noise', 'playback', 'live', 'filter', 'drum', 'shape', 'gain', 'echo'],
        },
        leads: [
          { from: 'one', to: 'multiplier', acts: ['signal'] },
          { from: 'other', to: 'multiplier', acts: ['signal'] },
        ],
        such: ({ leads: [one, other] }, reading) =>
          one !== undefined &&
          other !== undefined &&
          one.to[1] !== other.to[1] &&
          [one, other].every((each) => kindOf(reading, each) === 'audio'),
      },
    ],
  },
  {
    id: 'sync-sweep',
    name: 'Hard-sync sweep',
    say: 'One oscillator restarts another at each of its cycles while the other\u2019s tuning is moved: the pitch stays, the colour sweeps like a vowel.',
    tryOut: 'Pull the cable out of the sync input: the sweep turns into a siren.',
    heads: ['leader', 'follower'],
    patterns: [
      {
        blocks: {
          leader: ['tone', 'cycle'],
          follower: ['tone'],
          mover: ['envelope', 'cycle', 'random', 'follow', 'sequence', 'hand', 'shift'],
        },
        leads: [
          { from: 'leader', to: 'follower', acts: ['sync'] },
          { from: 'mover', to: 'follower', acts: ['pitch', 'frequency'], through: ['gain'] },
        ],
        such: (match, reading) => restartsHard(match, reading) && !movesBoth(match, reading),
      },
    ],
  },
  {
    id: 'beating-oscillators',
    name: 'Oscillators that beat',
    say: 'Two oscillators a few cents apart drift in and out of step, so that the sum swells slowly and sounds wider than one.',
    tryOut: 'Tune them apart a little more: the beats come faster.',
    heads: ['one', 'other'],
    heuristic: true,
    patterns: [
      {
        blocks: { one: ['tone'], other: ['tone'], sum: ['sum', 'fade'] },
        leads: [
          { from: 'one', to: 'sum', acts: ['signal'] },
          { from: 'other', to: 'sum', acts: ['signal'] },
        ],
        such: ({ blocks: { one, other } }, reading) => {
          if (!one || !other || compareIds(one.block.id, other.block.id) > 0) return false;
          const [a, b] = [tuningOf(one), tuningOf(other)];
          if (!a || !b || pitchSources(reading, one.block.id) !== pitchSources(reading, other.block.id)) return false;
          const cents = Math.abs(1200 * Math.log2(a / b));
          return cents >= BEATING_CENTS[0] && cents <= BEATING_CENTS[1];
        },
      },
    ],
  },
  {
    id: 'tuned-delay',
    name: 'Tuned string from a short delay',
    say: 'What enters a short delay goes round at the pitch of a note and dies away slowly, the high tones first: a plucked string.',
    tryOut: 'Make the echoes duller: from steel to nylon.',
    heads: ['string'],
    heuristic: true,
    patterns: [
      {
        blocks: { string: ['echo'], tuner: ['sequence', 'hand', 'random', 'quantize', 'shift', 'fixed'] },
        leads: [{ from: 'tuner', to: 'string', acts: ['time'], through: ['quantize'] }],
        such: ({ blocks: { string }, leads: [arrival] }, reading) => {
          if (!string || !arrival || inputOf(reading, arrival)?.kind !== 'pitch') return false;
          const feedback = string.spec.feedback && findSetting(string.spec, string.spec.feedback.setting);
          return feedback !== undefined && Number(settingValue(string.block, feedback)) >= STRING_FEEDBACK;
        },
      },
    ],
  },
  {
    id: 'feedback-outside',
    name: 'Feedback patched around a delay',
    say: 'The echoes leave the delay, pass through other blocks and come back in, so that each round changes them once more.',
    tryOut: 'Put a filter or an amplifier into the way back and move it.',
    find: (reading) =>
      reading.byJob('echo').flatMap((known) => {
        const ways = known.spec.inputs.flatMap(({ id, acts }) =>
          acts === undefined
            ? reading.arrivals([known.block.id, id], ['gain', 'filter', 'shape', 'multiply', 'place', 'fade', 'room', 'choose'])
            : [],
        );
        const round = ways.filter(({ from }) => from[0] === known.block.id);
        if (round.length === 0) return [];
        const via = [...new Set(round.flatMap((way) => way.via))].sort(compareIds);
        return [{ blocks: [known.block.id, ...via], heads: 1, cables: round.flatMap(({ cables }) => cables) }];
      }),
  },
];

function restartsHard({ leads: [sync] }: Match, { wired }: Reading): boolean {
  const known = sync && wired.blocks.get(sync.to[0]);
  const only = known && sync && inputSpec(known.spec, sync.to[1])?.restarts;
  if (!only) return known !== undefined;
  const setting = findSetting(known.spec, only.setting);
  return setting !== undefined && settingValue(known.block, setting) === only.is;
}

/** Does the mover bend the leader's pitch as well? Then both glide together, and nothing sweeps. */
function movesBoth({ blocks: { mover, leader } }: Match, reading: Reading): boolean {
  return (leader?.spec.inputs ?? []).some(
    ({ id, acts }) =>
      (acts === 'pitch' || acts === 'frequency') &&
      reading.arrivals([leader?.block.id ?? '', id], ['gain']).some(({ from }) => from[0] === mover?.block.id),
  );
}

/** A pitch that comes from a keyboard or a row plays the tone; it does not modulate it. */
function isPitchCable(reading: Reading, arrival: Arrival): boolean {
  return kindOf(reading, arrival) === 'pitch';
}

function pitchSources(reading: Reading, block: string): string {
  const known = reading.wired.blocks.get(block);
  const names = (known?.spec.inputs ?? []).flatMap(({ id, acts }) =>
    acts === 'pitch' ? reading.arrivals([block, id]).map(({ from }) => from.join('.')) : [],
  );
  return names.sort().join();
}
