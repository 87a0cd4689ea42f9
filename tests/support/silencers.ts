/**
 * Ways to make a patch silent: each breaks one thing and says which reason is to be named for it, and at which block. Which of them do
 * silence a patch is for the test to find out by rendering it.
 */
import type { BlockSpec, Catalogue, SettingValue } from '../../src/patch/blockSpec.ts';
import type { Block, Cable, Patch, Place } from '../../src/patch/document.ts';
import { samePlace } from '../../src/patch/document.ts';

export interface Broken {
  readonly kind: string;
  readonly patch: Patch;
  /** The id of the reason; of one of them, where that hangs on who notices. */
  readonly reason: string | readonly string[];
  /** The block that was broken; one of them, where several were at once. */
  readonly blocks: readonly string[];
}

type Breaking = (patch: Patch, catalogue: Catalogue) => readonly Omit<Broken, 'kind'>[];

function set(patch: Patch, id: string, settings: Readonly<Record<string, SettingValue>>): Patch {
  return {
    ...patch,
    blocks: patch.blocks.map((block) => (block.id === id ? { ...block, settings: { ...block.settings, ...settings } } : block)),
  };
}
const add = (patch: Patch, ...blocks: Block[]): Patch => ({ ...patch, blocks: [...patch.blocks, ...blocks] });
const cut = (patch: Patch, to: Place): Patch => ({ ...patch, cables: patch.cables.filter((cable) => !samePlace(cable.to, to)) });
function plug(patch: Patch, from: Place, to: Place): Patch {
  return { ...patch, cables: [...cut(patch, to).cables, { from, to }] };
}
/** Another block in the middle of a cable. */
function insert(patch: Patch, cable: Cable, block: Block, input: string, output: string): Patch {
  return plug(plug(add(patch, block), cable.from, [block.id, input]), [block.id, output], cable.to);
}

const specOf = (patch: Patch, catalogue: Catalogue, id: string): BlockSpec | undefined =>
  catalogue.get(patch.blocks.find((block) => block.id === id)?.type ?? '');
const ofType = (patch: Patch, ...types: string[]): Block[] => patch.blocks.filter(({ type }) => types.includes(type));
const kindOf = (patch: Patch, catalogue: Catalogue, { to }: Cable): string | undefined =>
  specOf(patch, catalogue, to[0])?.inputs.find(({ id }) => id === to[1])?.kind;
const isSound = (patch: Patch, catalogue: Catalogue, cable: Cable): boolean =>
  (specOf(patch, catalogue, cable.to[0])?.flows ?? []).some(({ from }) => from.includes(cable.to[1])) || cable.to[0] === 'out1';
const sounds = (patch: Patch, catalogue: Catalogue): Cable[] =>
  patch.cables.filter(
    (cable) =>
      isSound(patch, catalogue, cable) &&
      specOf(patch, catalogue, cable.from[0])?.outputs.find(({ id }) => id === cable.from[1])?.kind === 'audio',
  );
const gates = (patch: Patch, catalogue: Catalogue): Cable[] => patch.cables.filter((cable) => kindOf(patch, catalogue, cable) === 'gate');
const needed = (patch: Patch, catalogue: Catalogue, cable: Cable): boolean =>
  (specOf(patch, catalogue, cable.to[0])?.needs ?? []).some(({ input }) => input === cable.to[1]);

/** The same change at each place of a list, and at all of them at once. */
function each<T>(
  patch: Patch,
  places: readonly T[],
  blockOf: (place: T) => string,
  reason: string,
  change: (patch: Patch, place: T, i: number) => Patch,
): Omit<Broken, 'kind'>[] {
  const single = places.map((place, i) => ({ patch: change(patch, place, i), reason, blocks: [blockOf(place)] }));
  return places.length < 2
    ? single
    : [...single, { patch: places.reduce((all, place, i) => change(all, place, i), patch), reason, blocks: places.map(blockOf) }];
}

/** Inserts a block into each cable of sound, and into all that come from one output at once. */
function inSound(
  patch: Patch,
  catalogue: Catalogue,
  reason: string,
  block: Omit<Block, 'id'>,
  input: string,
  output: string,
  more: (patch: Patch, id: string, cable: Cable) => Patch = (same) => same,
): Omit<Broken, 'kind'>[] {
  const change = (all: Patch, cable: Cable, i: number): Patch =>
    more(insert(all, cable, { id: `new${i}`, ...block }, input, output), `new${i}`, cable);
  const cables = sounds(patch, catalogue);
  const single = cables.map((cable, i) => ({ patch: change(patch, cable, i), reason, blocks: [`new${i}`] }));
  const last = cables.map((cable, i) => [cable, i] as const).filter(([cable]) => cable.to[0] === 'out1');
  return [
    ...single,
    { patch: last.reduce((all, [cable, i]) => change(all, cable, i), patch), reason, blocks: last.map(([, i]) => `new${i}`) },
  ];
}

function inGates(
  patch: Patch,
  catalogue: Catalogue,
  reason: string,
  block: Omit<Block, 'id'> & { readonly id?: string },
  input: string,
  output: string,
  named?: (cable: Cable) => string,
): Omit<Broken, 'kind'>[] {
  return gates(patch, catalogue)
    .filter((cable) => needed(patch, catalogue, cable))
    .map((cable, i) => ({
      patch: insert(patch, cable, { ...block, id: `new${i}` }, input, output),
      reason,
      blocks: [named?.(cable) ?? `new${i}`],
    }));
}

const volts = (id: string, level: number): Block => ({ id, type: 'voltages', settings: { volts1: level } });
const controls = (patch: Patch): Cable[] =>
  patch.cables.filter(({ to }) => to[1] === 'cv' && ofType(patch, 'vca').some(({ id }) => id === to[0]));
const closedBase = (patch: Patch, id: string): Patch => set(patch, id, { level: 0 });

const breakings: Readonly<Record<string, Breaking>> = {
  'cables to the output missing': (patch) => [
    { patch: { ...patch, cables: patch.cables.filter(({ to }) => to[0] !== 'out1') }, reason: 'output-unpatched', blocks: ['out1'] },
  ],
  'cable of sound missing': (patch, catalogue) =>
    sounds(patch, catalogue)
      .filter(({ to }) => to[0] !== 'out1')
      .map((cable) => ({ patch: cut(patch, cable.to), reason: ['no-input', 'needs-cable'], blocks: [cable.to[0]] })),
  'source of sound removed': (patch) =>
    ofType(patch, 'oscillator', 'noise').map(({ id }) => ({
      patch: {
        ...patch,
        blocks: patch.blocks.filter((block) => block.id !== id),
        cables: patch.cables.filter(({ from, to }) => from[0] !== id && to[0] !== id),
      },
      reason: ['no-input', 'needs-cable'],
      blocks: patch.cables.filter(({ from }) => from[0] === id).map(({ to }) => to[0]),
    })),
  'gate or clock cable missing': (patch, catalogue) =>
    each(
      patch,
      gates(patch, catalogue).filter((cable) => needed(patch, catalogue, cable)),
      ({ to }) => to[0],
      'needs-cable',
      (all, { to }) => cut(all, to),
    ).slice(0, -1),
  'control cable of an amplifier missing': (patch) =>
    each(
      patch,
      controls(patch),
      ({ to }) => to[0],
      'shut',
      (all, { to }) => cut(closedBase(all, to[0]), to),
    ),
  'control amount at 0': (patch) =>
    each(
      patch,
      controls(patch),
      ({ to }) => to[0],
      'amount-zero',
      (all, { to }) => set(all, to[0], { level: 0, cvAmount: 0 }),
    ),
  'control amount turned round': (patch) =>
    each(
      patch,
      controls(patch),
      ({ to }) => to[0],
      'cv-negative',
      (all, { to }) => set(all, to[0], { level: 0, cvAmount: -1 }),
    ),
  'control at 0 V': (patch) =>
    each(
      patch,
      controls(patch),
      ({ to }) => to[0],
      'shut',
      (all, { to }, i) => plug(add(closedBase(all, to[0]), volts(`new${i}`, 0)), [`new${i}`, 'out1'], to),
    ),
  'control below 0 V': (patch) =>
    each(
      patch,
      controls(patch),
      ({ to }) => to[0],
      'cv-negative',
      (all, { to }, i) => plug(add(closedBase(all, to[0]), volts(`new${i}`, -5)), [`new${i}`, 'out1'], to),
    ),
  'levels of a mixer at 0': (patch) =>
    each(
      patch,
      ofType(patch, 'mixer'),
      ({ id }) => id,
      'level-zero',
      (all, { id }) => set(all, id, Object.fromEntries([1, 2, 3, 4, 5, 6].map((n) => [`level${n}`, 0]))),
    ),
  'whole mixer at 0': (patch) =>
    each(
      patch,
      ofType(patch, 'mixer'),
      ({ id }) => id,
      'shut',
      (all, { id }) => set(all, id, { level: 0 }),
    ),
  'output turned down': (patch) => [{ patch: set(patch, 'out1', { level: -60 }), reason: 'output-low', blocks: ['out1'] }],
  'low-pass filter closed': (patch) =>
    each(
      patch,
      ofType(patch, 'ladder', 'filter'),
      ({ id }) => id,
      'filter-closed',
      (all, { id }) => set(all, id, { cutoff: 16, resonance: 0, cvAmount: 0, cv2Amount: 0 }),
    ),
  'high-pass filter closed': (patch) =>
    each(
      patch,
      ofType(patch, 'filter'),
      ({ id }) => id,
      'filter-closed',
      (all, { id }) => {
        const turned = all.cables.map((cable): Cable => (cable.from[0] === id ? { ...cable, from: [id, 'highpass'] } : cable));
        return set({ ...all, cables: turned }, id, { cutoff: 20000, resonance: 0, cvAmount: 0 });
      },
    ),
  'filter pushed shut by a voltage': (patch) =>
    each(
      patch,
      ofType(patch, 'ladder', 'filter'),
      ({ id }) => id,
      'filter-closed',
      (all, { id }, i) => plug(add(set(all, id, { resonance: 0 }), volts(`new${i}`, -10)), [`new${i}`, 'out1'], [id, 'pitch']),
    ),
  'oscillators below hearing': (patch) =>
    each(
      patch,
      ofType(patch, 'oscillator'),
      ({ id }) => id,
      'below-hearing',
      (all, { id }) => set(all, id, { tune: 20, octave: -5 }),
    ),
  'oscillator pulled below hearing': (patch) =>
    each(
      patch,
      ofType(patch, 'oscillator'),
      ({ id }) => id,
      'below-hearing',
      (all, { id }, i) => plug(add(all, volts(`new${i}`, -10)), [`new${i}`, 'out1'], [id, 'pitch2']),
    ),
  'all gates of a row off': (patch) =>
    each(
      patch,
      ofType(patch, 'sequencer'),
      ({ id }) => id,
      'muted',
      (all, { id }) => set(all, id, { steps: Array.from({ length: 16 }, () => ({ gate: false })) }),
    ),
  'no chance for any step': (patch) =>
    each(
      patch,
      ofType(patch, 'sequencer'),
      ({ id }) => id,
      'muted',
      (all, { id }) => set(all, id, { steps: Array.from({ length: 16 }, () => ({ chance: 0 })) }),
    ),
  'clock stopped': (patch) =>
    each(
      patch,
      ofType(patch, 'clock'),
      ({ id }) => id,
      'gate-low',
      (all, { id }, i) => plug(add(all, volts(`new${i}`, 0)), [`new${i}`, 'out1'], [id, 'run']),
    ),
  'no notes': (patch) => ofType(patch, 'keys').map(({ id }) => ({ patch: { ...patch, score: [] }, reason: 'no-notes', blocks: [id] })),
  'notes too late': (patch) =>
    ofType(patch, 'keys').map(({ id }) => ({
      patch: { ...patch, score: (patch.score ?? []).map((note) => ({ ...note, at: note.at + 60 })) },
      reason: 'notes-late',
      blocks: [id],
    })),
  'gate too low': (patch, catalogue) =>
    inGates(patch, catalogue, 'gate-low', { type: 'attenuverter', settings: { gain: 0.1 } }, 'in', 'out', ({ to }) => to[0]),
  'signals that cancel': (patch, catalogue) =>
    inSound(patch, catalogue, 'cancel', { type: 'mixer', settings: { level2: -1 } }, 'in1', 'sum', (all, id, { from }) =>
      plug(all, from, [id, 'in2']),
    ),
  'direct voltage only': (patch) => [
    {
      patch: plug(
        { ...add(patch, volts('new0', 5)), cables: patch.cables.filter(({ to }) => to[0] !== 'out1') },
        ['new0', 'out1'],
        ['out1', 'left'],
      ),
      reason: 'dc-only',
      blocks: ['out1'],
    },
  ],
  'switch on another input': (patch, catalogue) =>
    inSound(patch, catalogue, 'switched-away', { type: 'select', settings: { position: 2 } }, 'in1', 'out'),
  'crossfader at the other end': (patch, catalogue) =>
    inSound(patch, catalogue, 'switched-away', { type: 'crossfade', settings: { position: 1 } }, 'a', 'out'),
  'panned away': (patch, catalogue) => inSound(patch, catalogue, 'switched-away', { type: 'pan', settings: { position: 1 } }, 'in', 'left'),
  'threshold never reached': (patch, catalogue) =>
    inGates(patch, catalogue, 'threshold', { type: 'comparator', settings: { threshold: 9.5 } }, 'in', 'gate'),
  'rhythm without hits': (patch, catalogue) =>
    inGates(patch, catalogue, 'muted', { type: 'euclidean', settings: { hits: 0 } }, 'clock', 'gate'),
  'no chance for a gate': (patch, catalogue) => inGates(patch, catalogue, 'muted', { type: 'chance', settings: { chance: 0 } }, 'in', 'a'),
  'logic without its second input': (patch, catalogue) => inGates(patch, catalogue, 'needs-cable', { type: 'logic' }, 'a', 'and'),
  'attenuator at 0': (patch, catalogue) =>
    inSound(patch, catalogue, 'level-zero', { type: 'attenuverter', settings: { gain: 0 } }, 'in', 'out'),
  'closed amplifier': (patch, catalogue) => inSound(patch, catalogue, 'shut', { type: 'vca' }, 'in', 'out'),
  'dark low-pass gate': (patch, catalogue) => inSound(patch, catalogue, 'shut', { type: 'lowpassGate' }, 'in', 'out'),
  'ring modulator without its second input': (patch, catalogue) =>
    inSound(patch, catalogue, 'needs-cable', { type: 'ringmod' }, 'x', 'out'),
  'ring modulator times 0 V': (patch, catalogue) =>
    inSound(patch, catalogue, 'input-rests', { type: 'ringmod' }, 'x', 'out', (all, id) =>
      plug(add(all, volts(`${id}v`, 0)), [`${id}v`, 'out1'], [id, 'y']),
    ),
  'player without a sound file': (patch) => replaced(patch, { type: 'samplePlayer', settings: { loop: true } }, 'left', 'no-sound-file'),
  'live input in a take': (patch) => replaced(patch, { type: 'external' }, 'left', 'live-only'),
  'gate by hand': (patch, catalogue) =>
    gates(patch, catalogue)
      .filter((cable) => needed(patch, catalogue, cable))
      .map((cable) => ({
        patch: plug(add(patch, { id: 'new0', type: 'button' }), ['new0', 'gate'], cable.to),
        reason: 'by-hand',
        blocks: ['new0'],
      })),
  'clock slower than the take': (patch, catalogue) =>
    gates(patch, catalogue)
      .filter((cable) => needed(patch, catalogue, cable))
      .map((cable) => ({
        patch: plug(add(patch, { id: 'new0', type: 'lfo', settings: { rate: 0.005, phase: 0.5 } }), ['new0', 'square'], cable.to),
        reason: 'too-slow',
        blocks: ['new0'],
      })),
  'attack longer than the take': (patch) =>
    each(
      patch,
      ofType(patch, 'contour'),
      ({ id }) => id,
      'too-slow',
      (all, { id }) => set(all, id, { attack: 20, curve: 1, attackAmount: 0 }),
    ),
  'block in the middle removed': (patch) =>
    patch.blocks
      .filter(({ id }) => id !== 'out1' && patch.cables.some(({ to }) => to[0] === id))
      .map(({ id }) => ({
        patch: {
          ...patch,
          blocks: patch.blocks.filter((block) => block.id !== id),
          cables: patch.cables.filter(({ from, to }) => from[0] !== id && to[0] !== id),
        },
        reason: ['no-input', 'needs-cable', 'output-unpatched', 'shut'],
        blocks: patch.cables.filter(({ from }) => from[0] === id).map(({ to }) => to[0]),
      })),
  'control turned upside down on its way': (patch) =>
    controls(patch).map((cable) => ({
      patch: insert(closedBase(patch, cable.to[0]), cable, { id: 'new0', type: 'attenuverter', settings: { gain: -1 } }, 'in', 'out'),
      reason: 'cv-negative',
      blocks: ['new0'],
    })),
  'level held at 0 by hand': (patch) =>
    each(
      patch,
      ofType(patch, 'mixer'),
      ({ id }) => id,
      'shut',
      (all, { id }) => ({
        ...all,
        moves: [
          ...(all.moves ?? []),
          {
            block: id,
            setting: 'level',
            points: [
              [0, 0],
              [60, 0.01],
            ],
          },
        ],
      }),
    ),
  'loop fed by itself': (patch) =>
    ofType(patch, 'mixer').map(({ id }) => ({
      patch: plug({ ...patch, cables: patch.cables.filter(({ to }) => to[0] !== id) }, [id, 'sum'], [id, 'in1']),
      reason: 'only-itself',
      blocks: [id],
    })),
};

/** All sources of sound replaced by one block. */
function replaced(patch: Patch, block: Omit<Block, 'id'>, output: string, reason: string): Omit<Broken, 'kind'>[] {
  const sources = new Set(ofType(patch, 'oscillator', 'noise').map(({ id }) => id));
  if (sources.size === 0) return [];
  const led = patch.cables
    .filter(({ to }) => !sources.has(to[0]))
    .map((cable): Cable => (sources.has(cable.from[0]) ? { ...cable, from: ['new0', output] } : cable));
  const blocks = [...patch.blocks.filter(({ id }) => !sources.has(id)), { id: 'new0', ...block }];
  return [{ patch: { ...patch, blocks, cables: led }, reason, blocks: ['new0'] }];
}

export const breakingKinds = Object.keys(breakings);

/** Every way at every place that it fits; probes are left out, as some of their blocks go. */
export function breakPatch({ probes: _probes, ...patch }: Patch, catalogue: Catalogue): Broken[] {
  return Object.entries(breakings).flatMap(([kind, breaking]) => breaking(patch, catalogue).map((broken) => ({ kind, ...broken })));
}
