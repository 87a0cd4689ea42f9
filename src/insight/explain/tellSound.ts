/** Sentences: where the sound comes from, and what it passes on its way out. */
import { lowerFirst } from '../../patch/values/index.ts';
import { nearestNote } from '../../patch/values/notes.ts';
import { compareIds, figuresOf, hasJob, tuningOf } from '../constructions/reading.ts';
import { type KnownBlock, sourceOf } from '../wired.ts';
import type { SoundPath, Step } from './soundPath.ts';
import { atMost, keyLine, outputTitle, type Sentence, sentence, type Telling } from './telling.ts';
import { counted, countWord, hertzText, intervalText, list, partWord } from './words.ts';

const MOST_VOICES = 4;
const MOST_WAYS = 7;

export function tellSound(telling: Telling, path: SoundPath): readonly Sentence[] {
  const groups = new Map<string, KnownBlock[]>();
  for (const id of path.voices) {
    const known = telling.known(id);
    if (!known) continue;
    const key = `${known.block.type} ${path.struck.has(id)}`;
    groups.set(key, [...(groups.get(key) ?? []), known]);
  }
  const told = [...groups.values()].map((group) => tellGroup(telling, path, group));
  return [
    ...atMost(MOST_VOICES, told, (count) => `${countWord(count)} more kinds of sound sources are heard`),
    ...tellStill(telling, path),
  ];
}

function tellGroup(telling: Telling, path: SoundPath, group: readonly KnownBlock[]): Sentence {
  const [first] = group;
  const ids = group.map(({ block }) => block.id);
  if (!first) return sentence('sound', '', []);
  const { part } = first.spec;
  const one = group.length === 1;
  if (hasJob(first, 'tone')) {
    const leaders = group.flatMap((known) => leaderOf(telling, known) ?? []);
    const say = `${counted(group.length, part)} ${one ? 'sounds' : 'sound together'}: ${tones(telling, path, group)}`;
    return sentence('sound', say, [...ids, ...leaders]);
  }
  const names = list(
    group.map((known) => described(telling, path, known)),
    6,
  );
  if (hasJob(first, 'noise')) return sentence('sound', `Noise comes from ${names}`, ids);
  if (hasJob(first, 'drum')) return sentence('sound', `${counted(group.length, part)} ${one ? 'is' : 'are'} struck: ${names}`, ids);
  if (hasJob(first, 'live'))
    return sentence('sound', `${names} ${one ? 'brings' : 'bring'} in what a microphone or line hears, which is silent in a take`, ids);
  if (hasJob(first, 'playback'))
    return sentence('sound', `${counted(group.length, part)} ${one ? 'plays' : 'play'} a sound file: ${names}`, ids);
  if (path.struck.has(first.block.id)) {
    return sentence(
      'sound',
      `${counted(group.length, part)} close to oscillation ${one ? 'rings when it is' : 'ring when they are'} struck: ${names}`,
      ids,
    );
  }
  return sentence('sound', `${counted(group.length, part)} ${one ? 'oscillates by itself' : 'oscillate by themselves'}: ${names}`, ids);
}

/** "Low voice (saw), Middle voice (saw), a fifth above it": intervals where the same pitch plays them. */
function tones(telling: Telling, path: SoundPath, group: readonly KnownBlock[]): string {
  const tuned = group
    .map((known) => ({ known, hertz: tuningOf(known) ?? 0, played: playedBy(telling, known) }))
    .sort((a, b) => a.hertz - b.hertz || compareIds(a.known.block.id, b.known.block.id));
  const lowest = tuned.find(({ known }) => leaderOf(telling, known) === undefined);
  const names = tuned.map(({ known, hertz, played }) => {
    const name = telling.name(known.block.id);
    const comparable = lowest && known !== lowest.known && played === lowest.played && lowest.hertz > 0;
    const leader = leaderOf(telling, known);
    const above = comparable ? intervalText(hertz / lowest.hertz, telling.name(lowest.known.block.id)) : '';
    const interval = leader === undefined ? above : `synced to ${telling.name(leader)}`;
    const pitch = played === '' && hertz > 0 && interval === '' ? pitchText(hertz) : '';
    return `${name} (${[waves(telling, path, known.block.id), interval, pitch].filter(Boolean).join(', ')})`;
  });
  return list(names, 6);
}

/** A synced tone has the pitch of its leader, whatever it is tuned to. */
function leaderOf(telling: Telling, { block, spec }: KnownBlock): string | undefined {
  const input = spec.inputs.find(({ acts }) => acts === 'sync');
  const from = input && sourceOf(telling.wired, block.id, input.id);
  return from?.[0];
}

/** "440 Hz, A4" where it is a note; the frequency alone where it is between two. */
function pitchText(hertz: number): string {
  const note = 69 + 12 * Math.log2(hertz / 440);
  return Math.abs(note - Math.round(note)) < 0.02 ? `${hertzText(hertz)}, ${nearestNote(Math.round(note))}` : hertzText(hertz);
}

/** What plays the pitch of a tone: the outputs that arrive at its pitch inputs. */
export function playedBy(telling: Telling, { block, spec }: KnownBlock): string {
  const inputs = spec.inputs.filter(({ kind, acts }) => kind === 'pitch' && acts === 'pitch');
  const origins = inputs.flatMap(({ id }) =>
    telling.arrivals([block.id, id], ['quantize', 'gain', 'choose']).filter(({ from }) => plays(telling, from[0])),
  );
  return [...new Set(origins.map(({ from }) => from.join('.')))].sort().join();
}

function plays(telling: Telling, id: string): boolean {
  const known = telling.known(id);
  return known !== undefined && hasJob(known, 'sequence', 'hand', 'random', 'shift', 'fixed', 'quantize');
}

/** "pulse", "triangle and pulse": outputs taken on the way of the sound. */
function waves(telling: Telling, path: SoundPath, id: string): string {
  const outputs = [...new Set((path.outOf.get(id) ?? []).map(({ from }) => from[1]))].sort();
  return list(outputs.map((output) => outputTitle(telling, [id, output])));
}

/** A voice with what is known of it: "Green buoy (bandpass, 294 Hz, D4)". */
function described(telling: Telling, path: SoundPath, known: KnownBlock): string {
  const { block, spec } = known;
  const hertz = tuningOf(known);
  const taken = spec.outputs.length > 1 ? waves(telling, path, block.id) : '';
  const details = [taken, hertz === undefined ? keyLine(known) : pitchText(hertz)].filter(Boolean).join(', ');
  return `${telling.name(block.id)}${details === '' ? '' : ` (${details})`}`;
}

/** Voices that the take does not hear. */
function tellStill(telling: Telling, path: SoundPath): readonly Sentence[] {
  if (!telling.heard) return [];
  const still = path.voices.filter((id) => {
    const taken = path.outOf.get(id) ?? [];
    return taken.length > 0 && taken.every(({ from }) => (figuresOf(telling, from)?.rms ?? 1) < 1e-4);
  });
  if (still.length === 0) return [];
  const names = list(still.map(telling.name));
  return [sentence('sound', `As far as the take shows, ${names} ${still.length === 1 ? 'stays' : 'stay'} silent`, still)];
}

interface Chain {
  /** What enters it, by id. */
  readonly subjects: readonly string[];
  readonly blocks: readonly string[];
  readonly steps: readonly Step[];
  /** The output of the patch that it ends in; "" where the next chain takes over. */
  readonly end: string;
  /** "left" where both sides of it are patched apart. */
  readonly side: string;
}

export function tellWay(telling: Telling, path: SoundPath): readonly Sentence[] {
  const chains = chainsOf(telling, path);
  const groups = new Map<string, Chain[]>();
  for (const chain of chains) {
    const alike = chain.blocks.map((id) => telling.known(id)?.block.type).join('>');
    const subjects = chain.subjects.length === 1 ? 'each' : chain.subjects.join();
    const key = `${alike} ${subjects} ${chain.end}`;
    groups.set(key, [...(groups.get(key) ?? []), chain]);
  }
  const told = [...groups.values()].map((group) => tellChains(telling, path, group));
  return atMost(
    MOST_WAYS,
    [...told, ...tellStraight(telling, path)],
    (count) => `the sound takes ${countWord(count)} more ways to the output`,
  );
}

/** Blocks in a row, where each is fed by the one before alone and feeds the next alone. */
function chainsOf(telling: Telling, path: SoundPath): readonly Chain[] {
  const before = (id: string): readonly string[] => [...new Set((path.into.get(id) ?? []).map(({ from }) => from[0]))].sort(compareIds);
  const after = (id: string): readonly string[] => [...new Set((path.outOf.get(id) ?? []).map(({ to }) => to[0]))].sort(compareIds);
  const isPassed = new Set(path.passed);
  const follows = (id: string): boolean => {
    const [only, ...more] = before(id);
    return only !== undefined && only !== id && more.length === 0 && isPassed.has(only) && after(only).length === 1;
  };
  const chained = new Set<string>();
  return path.passed.flatMap((first) => {
    if (follows(first) || chained.has(first)) return [];
    const blocks: string[] = [];
    for (let id: string | undefined = first; id !== undefined; ) {
      blocks.push(id);
      chained.add(id);
      const [next, ...others]: readonly string[] = after(id);
      id = next !== undefined && others.length === 0 && isPassed.has(next) && follows(next) && !chained.has(next) ? next : undefined;
    }
    const last = blocks.at(-1) ?? first;
    const steps = blocks.flatMap((id) => path.into.get(id) ?? []);
    return [{ subjects: before(first).filter((id) => id !== first), blocks, steps, ...endOf(telling, path, last) }];
  });
}

/** Where the last block of a chain leads, if that is out of the patch. */
function endOf(telling: Telling, path: SoundPath, id: string): Pick<Chain, 'end' | 'side'> {
  const ends = (path.outOf.get(id) ?? []).filter(({ to }) => path.outlets.includes(to[0]));
  const [first] = ends;
  if (!first) return { end: '', side: '' };
  const outlet = first.to[0];
  const patched = (telling.known(outlet)?.spec.inputs ?? []).filter((input) => sourceOf(telling.wired, outlet, input.id));
  const taken = patched.filter((input) => ends.some(({ to }) => to[0] === outlet && to[1] === input.id));
  return { end: outlet, side: taken.length < patched.length ? lowerFirst(taken[0]?.title ?? '') : '' };
}

function tellChains(telling: Telling, path: SoundPath, chains: readonly Chain[]): Sentence {
  const [first] = chains;
  const blocks = chains.flatMap(({ subjects, blocks: own, end }) => [...subjects, ...own, ...(end === '' ? [] : [end])]);
  const cables = chains.flatMap(({ steps }) => steps.map(({ to }) => to.join('.')));
  const parallel = chains.map((chain) => chain.blocks);
  const deeds = (first?.blocks ?? []).map((_, i) =>
    deed(
      telling,
      parallel.map((each) => each[i] ?? ''),
    ),
  );
  const subjects = [...new Set(chains.flatMap((chain) => chain.subjects))].sort(compareIds);
  const subject = wavesMixed(telling, first) ?? subjectOf(telling, path, subjects);
  const each = chains.length > 1 && subjects.length === chains.length ? 'each ' : '';
  const end = endText(telling, chains);
  const all = end === '' ? deeds : [...deeds, end];
  return sentence('way', `${subject.name} ${subject.several ? 'are' : 'is'} ${each}${list(all, 9)}`, blocks, cables);
}

/** "sent to Out", with the sides where the chains end on different ones. */
function endText(telling: Telling, chains: readonly Chain[]): string {
  const [first] = chains;
  if (!first || first.end === '') return '';
  const sides = new Set(chains.map(({ side }) => side));
  const out = `sent to ${telling.name(first.end)}`;
  if (sides.size === 1) return first.side === '' ? out : `${out}, ${first.side}`;
  return `${out}: ${list(chains.map(({ blocks, side }) => `${telling.name(blocks.at(-1) ?? '')} ${side === '' ? 'to both sides' : `to the ${side}`}`))}`;
}

/** A mixer that only one block feeds mixes its waves. */
function wavesMixed(telling: Telling, chain: Chain | undefined): { readonly name: string; readonly several: boolean } | undefined {
  const [only, ...others] = chain?.subjects ?? [];
  const known = telling.known(chain?.blocks[0] ?? '');
  if (!known || only === undefined || others.length > 0 || !hasJob(known, 'sum')) return undefined;
  const taken = (chain?.steps ?? []).filter(({ from, to }) => from[0] === only && to[0] === known.block.id).map(({ from }) => from[1]);
  const outputs = [...new Set(taken)].sort();
  if (outputs.length < 2) return undefined;
  return { name: `The ${list(outputs.map((output) => outputTitle(telling, [only, output])))} of ${telling.name(only)}`, several: true };
}

function subjectOf(telling: Telling, path: SoundPath, ids: readonly string[]): { readonly name: string; readonly several: boolean } {
  const types = new Set(path.voices.map((id) => telling.known(id)?.block.type));
  const everyVoice = ids.length === path.voices.length && ids.every((id) => path.voices.includes(id));
  if (everyVoice && types.size === 1 && ids.length > 1) return { name: `The ${countWord(ids.length)}`, several: true };
  if (ids.length === 0) return { name: 'What goes round', several: false };
  return { name: list(ids.map(telling.name), 6), several: ids.length > 1 };
}

/** What a stage of the way does, as a participle: "filtered by Lantern (four-pole low-pass filter, 640 Hz)". */
function deed(telling: Telling, ids: readonly string[]): string {
  const known = telling.known(ids[0] ?? '');
  const names = list(ids.map(telling.name), 4);
  if (!known) return `passed through ${names}`;
  const one = ids.length === 1;
  const part = partWord(known.spec, ids.length);
  const line = one ? keyLine(known) : '';
  // "Delay (delay, 300 ms)" says a thing twice
  const told = names.toLowerCase().startsWith(part.toLowerCase()) ? '' : part;
  const inside = [told, line].filter(Boolean).join(', ');
  const details = inside === '' ? '' : ` (${inside})`;
  switch (known.spec.jobs?.[0]) {
    case 'sum':
      return `mixed in ${names}`;
    case 'gain':
      return `shaped in loudness by ${names}`;
    case 'filter':
      return `filtered by ${names}${details}`;
    case 'shape':
      return `bent by ${names}${details}`;
    case 'multiply':
      return `multiplied in ${names}${details}`;
    case 'place':
      return `placed between left and right by ${names}`;
    case 'fade':
      return `cross-faded in ${names}`;
    case 'echo':
      return `repeated by ${names}${details}`;
    case 'room':
      return `put into a room by ${names}${details}`;
    case 'scale':
      return `scaled by ${names}${line === '' ? '' : ` (${line})`}`;
    case 'choose':
      return `chosen by ${names}${details}`;
    default:
      return `passed through ${names}${details}`;
  }
}

/** Voices without anything between them and the output. */
function tellStraight(telling: Telling, path: SoundPath): readonly Sentence[] {
  return path.outlets.flatMap((outlet) => {
    const steps = (path.into.get(outlet) ?? []).filter(({ from }) => !path.passed.includes(from[0]));
    const sources = [...new Set(steps.map(({ from }) => from[0]))].sort(compareIds);
    if (sources.length === 0) return [];
    const say = `${list(sources.map(telling.name), 6)} ${sources.length === 1 ? 'goes' : 'go'} straight to ${telling.name(outlet)}`;
    const cables = steps.map(({ to }) => to.join('.'));
    return [sentence('way', say, [...sources, outlet], cables)];
  });
}
