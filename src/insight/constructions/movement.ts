/** Constructions in which something slow moves something. */
import { createGraph, loops } from '../../patch/reach.ts';
import { sourceOf } from '../wired.ts';
import type { Construction, Part } from './construction.ts';
import type { Match } from './pattern.ts';
import { type Arrival, depthOf, hasJob, hertzOf, isSignal, type Reading, runsAlone } from './reading.ts';

/** Where single waves of a modulation begin to be heard as a tone: common practice, no source. */
export const AUDIO_HZ = 20;
/** Speeds of a vibrato or tremolo, in Hz: common practice, no source. */
const TREMBLES: readonly [number, number] = [2, 14];
/** A vibrato wider than this is heard as a siren: peak to peak, in octaves (three semitones; our choice). */
const WIDEST_VIBRATO = 0.25;

const lead = (match: Match, i: number): Arrival => match.leads[i] as Arrival;

function trembles(reading: Reading, match: Match): boolean {
  const hertz = hertzOf(reading, lead(match, 0).from);
  const { wave } = match.blocks;
  return wave !== undefined && runsAlone(reading, wave) && hertz !== undefined && hertz >= TREMBLES[0] && hertz <= TREMBLES[1];
}

function isSlow(reading: Reading, arrival: Arrival): boolean {
  const hertz = hertzOf(reading, arrival.from);
  return hertz !== undefined && hertz < AUDIO_HZ;
}

/** Does the block pass sound, not a control voltage? */
export function passesSound({ wired, kinds }: Reading, block: string): boolean {
  const known = wired.blocks.get(block);
  return (known?.spec.outputs ?? []).some(({ id }) => kinds.get(`${block}.${id}`) === 'audio');
}

/** Does the sound of one block go through the other, whatever lies between? */
function runsThrough(reading: Reading, block: string, other: string): boolean {
  return soundBehind(reading, other).has(block);
}

const behind = new WeakMap<Reading, Map<string, ReadonlySet<string>>>();

/** All blocks whose sound comes to a block. */
function soundBehind(reading: Reading, block: string): ReadonlySet<string> {
  const known = behind.get(reading) ?? new Map<string, ReadonlySet<string>>();
  behind.set(reading, known);
  const before = known.get(block);
  if (before) return before;
  const seen = new Set<string>();
  const looked = new Set<string>();
  const open = [block];
  for (let id = open.pop(); id !== undefined; id = open.pop()) {
    if (looked.has(id)) continue;
    looked.add(id);
    const at = reading.wired.blocks.get(id);
    for (const input of at?.spec.inputs ?? []) {
      const source = at && isSignal(at, input.id) ? sourceOf(reading.wired, id, input.id)?.[0] : undefined;
      if (source === undefined) continue;
      seen.add(source);
      open.push(source);
    }
  }
  known.set(block, seen);
  return seen;
}

/** Blocks that push each other's speed in a circle. */
function ringsOfModulators(reading: Reading): readonly Part[] {
  const members = [
    ...new Set([...reading.byJob('cycle'), ...reading.byJob('random'), ...reading.byJob('envelope'), ...reading.byJob('tone')]),
  ];
  const ways = members.flatMap((known) =>
    known.spec.inputs.flatMap(({ id, acts }) =>
      acts === 'rate' || acts === 'pitch' || acts === 'frequency' ? reading.arrivals([known.block.id, id], ['gain']) : [],
    ),
  );
  const ids = new Set(members.map(({ block }) => block.id));
  const inside = ways.filter(({ from }) => ids.has(from[0]));
  const graph = createGraph({ blocks: members.map(({ block }) => block), cables: inside });
  return loops(graph)
    .filter((ring) => ring.length > 1)
    .map((ring) => {
      const own = inside.filter(({ from, to }) => ring.includes(from[0]) && ring.includes(to[0]));
      const blocks = [...ring].sort();
      return { blocks: [...blocks, ...own.flatMap(({ via }) => via)], heads: blocks.length, cables: own.flatMap(({ cables }) => cables) };
    });
}

export const movement: readonly Construction[] = [
  {
    id: 'crossfade-by-inverted-copy',
    name: 'Cross-fade by an inverted copy',
    say: 'One voltage opens an amplifier while its inverted copy closes another, so that their sum goes from the one sound to the other and back.',
    tryOut: 'Turn the copy the right way up again: both amplifiers then open together, and the cross-fade is gone.',
    heads: ['a', 'b'],
    patterns: [
      {
        blocks: {
          a: ['gain'],
          b: ['gain'],
          source: ['cycle', 'envelope', 'random', 'follow', 'fixed', 'sequence', 'hand', 'shift'],
          sum: ['sum'],
        },
        leads: [
          { from: 'source', to: 'a', acts: ['level'], inverted: false },
          { from: 'source', to: 'b', acts: ['level'], inverted: true },
          { from: 'a', to: 'sum', acts: ['signal'] },
          { from: 'b', to: 'sum', acts: ['signal'] },
        ],
      },
    ],
  },
  {
    id: 'modulation-depth',
    name: 'Amplifier as modulation depth',
    say: 'A modulation passes through an amplifier before it reaches its input, so that another voltage says how much of it is heard.',
    tryOut: 'Open the amplifier by hand instead and compare: the movement is the same, but it no longer comes and goes.',
    heads: ['amplifier'],
    within: ['crossfade-by-inverted-copy'],
    patterns: [
      {
        blocks: {
          amplifier: ['gain'],
          wave: ['cycle', 'tone', 'envelope', 'random', 'noise', 'follow'],
          opener: ['cycle', 'envelope', 'random', 'follow', 'sequence', 'hand', 'fixed', 'shift'],
          target: ['tone', 'filter', 'shape', 'place', 'fade', 'echo', 'cycle', 'envelope', 'gain', 'drum', 'playback', 'random'],
        },
        leads: [
          { from: 'wave', to: 'amplifier', acts: ['signal'] },
          { from: 'opener', to: 'amplifier', acts: ['level'] },
          { from: 'amplifier', to: 'target' },
        ],
      },
    ],
  },
  {
    id: 'vibrato',
    name: 'Vibrato',
    say: 'A wave of some hertz bends the pitch a little up and down, as a singer or a string player does.',
    tryOut: 'Turn the wave up past 20 Hz: the wobble becomes a new colour, frequency modulation.',
    heads: ['wave'],
    heuristic: true,
    patterns: [
      {
        blocks: { wave: ['cycle', 'tone', 'envelope'], voice: ['tone', 'drum', 'playback'] },
        leads: [{ from: 'wave', to: 'voice', acts: ['pitch'], through: ['gain'] }],
        such: (match, reading) => {
          const depth = depthOf(reading, lead(match, 0)).octaves;
          return trembles(reading, match) && (depth === undefined || (depth > 0 && depth <= WIDEST_VIBRATO));
        },
      },
    ],
  },
  {
    id: 'tremolo',
    name: 'Tremolo',
    say: 'A wave of some hertz makes the sound louder and quieter in quick, even strokes.',
    tryOut: 'Turn the wave up past 20 Hz: side tones appear, amplitude modulation.',
    heads: ['wave'],
    heuristic: true,
    patterns: [
      {
        blocks: { wave: ['cycle', 'tone', 'envelope'], amplifier: ['gain'] },
        leads: [{ from: 'wave', to: 'amplifier', acts: ['level'], through: ['gain'] }],
        such: (match, reading) => trembles(reading, match) && passesSound(reading, lead(match, 0).to[0]),
      },
    ],
  },
  {
    id: 'width-modulation',
    name: 'Pulse-width modulation',
    say: 'A slow voltage makes the pulse wider and narrower, so that its overtones swell and vanish in turn and one oscillator sounds like several.',
    tryOut: 'Let two oscillators be moved by different waves: a whole string section.',
    heads: ['mover'],
    patterns: [
      {
        blocks: { mover: ['cycle', 'envelope', 'random', 'tone', 'follow', 'sequence'], voice: ['tone'] },
        leads: [{ from: 'mover', to: 'voice', acts: ['width'], through: ['gain'] }],
        such: (match, reading) => {
          const arrival = lead(match, 0);
          const wave = match.blocks.mover && hasJob(match.blocks.mover, 'cycle', 'tone');
          return (!wave || isSlow(reading, arrival)) && bearsOnCables(reading, arrival);
        },
      },
    ],
  },
  {
    id: 'auto-pan',
    name: 'Auto-pan',
    say: 'A slow wave carries the sound from one loudspeaker to the other and back.',
    tryOut: 'Move the filter by the same wave: the sound seems to turn away as well.',
    heads: ['wave'],
    patterns: [
      {
        blocks: { wave: ['cycle', 'tone', 'random', 'envelope'], place: ['place'] },
        leads: [{ from: 'wave', to: 'place', acts: ['pan'], through: ['gain'] }],
        such: (match, reading) => {
          const { wave } = match.blocks;
          if (!wave) return false;
          return hasJob(wave, 'random') || (runsAlone(reading, wave) && isSlow(reading, lead(match, 0)));
        },
      },
    ],
  },
  {
    id: 'louder-and-brighter',
    name: 'Louder and brighter together',
    say: 'One voltage opens the amplifier and the filter of the same sound: struck or blown things, too, are brightest where they are loudest.',
    tryOut: 'Take the cable off the filter: the loudness still moves, but the sound seems to be turned down, not played softer.',
    heads: ['mover'],
    patterns: [
      {
        blocks: { mover: ['envelope', 'cycle', 'follow', 'random', 'hand', 'sequence'], amplifier: ['gain'], filter: ['filter'] },
        leads: [
          { from: 'mover', to: 'amplifier', acts: ['level'], inverted: false },
          { from: 'mover', to: 'filter', acts: ['cutoff'], inverted: false },
        ],
        such: ({ blocks: { amplifier, filter } }, reading) => {
          const [a, f] = [amplifier?.block.id ?? '', filter?.block.id ?? ''];
          return passesSound(reading, a) && (runsThrough(reading, f, a) || runsThrough(reading, a, f));
        },
      },
    ],
  },
  {
    id: 'ducking',
    name: 'Ducking',
    say: 'Each stroke of one sound turns another one down for a moment, so that the first has room and the second seems to breathe.',
    tryOut: 'Make the way back slower until it fits the beat.',
    heads: ['mover', 'amplifier'],
    patterns: [
      {
        blocks: { mover: ['follow', 'envelope'], amplifier: ['gain'] },
        leads: [{ from: 'mover', to: 'amplifier', acts: ['level'], inverted: true }],
        such: ({ blocks: { mover, amplifier } }, reading) => {
          if (!mover || !amplifier || !passesSound(reading, amplifier.block.id)) return false;
          // A follower that hears what it turns down is a compressor.
          return !hasJob(mover, 'follow') || !sharesSound(reading, mover.block.id, amplifier.block.id);
        },
      },
    ],
    within: ['crossfade-by-inverted-copy'],
  },
  {
    id: 'ring-of-modulators',
    name: 'Ring of modulators',
    say: 'Modulators push each other\u2019s speed in a circle, so that none ever settles into a steady rhythm.',
    tryOut: 'Cut the ring at one place: the movement grows regular at once.',
    find: ringsOfModulators,
  },
  {
    id: 'looping-envelope',
    name: 'Looping envelope as a slow modulator',
    say: 'An envelope that starts itself again at the end of each cycle is a slow wave whose rise and fall can be set apart.',
    tryOut: 'Make the rise as short as it goes and the fall long: a falling ramp.',
    heads: ['envelope'],
    patterns: [
      {
        blocks: {
          envelope: ['envelope'],
          target: ['tone', 'filter', 'gain', 'shape', 'place', 'fade', 'echo', 'cycle', 'random', 'compare', 'drum', 'playback'],
        },
        leads: [{ from: 'envelope', to: 'target', through: ['gain'] }],
        such: ({ blocks: { envelope } }, reading) => envelope !== undefined && runsAlone(reading, envelope),
      },
    ],
  },
];

/** Is an output taken that the input bears on? */
function bearsOnCables({ wired }: Reading, { to: [block, input] }: Arrival): boolean {
  const spec = wired.blocks.get(block)?.spec;
  const outputs = spec?.inputs.find(({ id }) => id === input)?.outputs ?? spec?.outputs.map(({ id }) => id) ?? [];
  return outputs.some((output) => wired.from.has(`${block}.${output}`));
}

/** Do both hear one source? */
function sharesSound(reading: Reading, a: string, b: string): boolean {
  const other = soundBehind(reading, b);
  return [...soundBehind(reading, a)].some((id) => other.has(id));
}
