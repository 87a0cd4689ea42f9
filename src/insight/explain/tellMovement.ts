/** Sentences: which voltage moves what, and how far. */
import { type Place, placeName } from '../../patch/document.ts';
import type { Act } from '../../patch/roles.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import { formatValue } from '../../patch/values/index.ts';
import type { Found } from '../constructions/find.ts';
import { passesSound } from '../constructions/movement.ts';
import { byId, compareIds, depthOfVolts, hasJob, tuningOf } from '../constructions/reading.ts';
import { amountOf, inputFigures } from '../heard.ts';
import { moves as isMoving } from '../tally.ts';
import { inputSpec, type KnownBlock, restsAtZero, sourceOf } from '../wired.ts';
import type { SoundPath } from './soundPath.ts';
import { phraseOf } from './sources.ts';
import { atMost, type Sentence, sentence, type Telling } from './telling.ts';
import { notesAt } from './tellPitch.ts';
import { playedBy } from './tellSound.ts';
import { countWord, list, octavesText, percent, short } from './words.ts';

const MOST = 8;
/** Told elsewhere: gates. */
const gateActs: ReadonlySet<Act> = new Set<Act>(['fire', 'clock', 'hold', 'reset', 'toggle', 'run', 'sync']);

interface Moved {
  readonly from: Place;
  readonly to: readonly Place[];
}

export function tellMovement(telling: Telling, path: SoundPath): readonly Sentence[] {
  const found = new Map<string, { from: Place; to: Place[] }>();
  for (const { block, spec } of [...telling.wired.blocks.values()].sort(byId)) {
    for (const { id, acts } of spec.inputs) {
      const from = sourceOf(telling.wired, block.id, id);
      if (!from || acts === undefined || gateActs.has(acts) || isOff(telling, [block.id, id])) continue;
      // What only plays notes is told with the pitches.
      const arrivals = telling.arrivals([block.id, id], ['quantize', 'choose']);
      if (arrivals.length > 0 && notesAt(telling, block.id, id).length === arrivals.length) continue;
      const name = placeName(from);
      found.set(name, { from, to: [...(found.get(name)?.to ?? []), [block.id, id]] });
    }
  }
  const fades = telling.found
    .filter(({ construction }) => construction.id === 'crossfade-by-inverted-copy')
    .map((fade) => tellFade(telling, fade));
  const faded = new Set(fades.flatMap(({ cables }) => cables));
  // What is heard directly comes first, then what moves the movers.
  const onPath = new Set([...path.voices, ...path.passed]);
  const rank = ({ to }: Moved): number => (to.some(([block]) => onPath.has(block)) ? 0 : 1);
  const told = [...found.values()]
    .map(({ from, to }) => ({ from, to: to.filter((place) => !faded.has(placeName(place))) }))
    .filter(({ to }) => to.length > 0)
    .sort((a, b) => rank(a) - rank(b) || compareIds(placeName(a.from), placeName(b.from)));
  const heard = told.filter((each) => rank(each) === 0).map((each) => tellMoved(telling, each));
  const behind = told.filter((each) => rank(each) === 1).map((each) => tellMoved(telling, each));
  const synced = atMost(2, syncs(telling), (count) => `${countWord(count)} more oscillators are synced`);
  return atMost(MOST, [...synced, ...heard, ...fades, ...behind], (count) => `${countWord(count)} more voltages move something`);
}

/** "Tide (triangle, once in 14.3 s) opens Open A while its inverted copy closes Open B". */
function tellFade(telling: Telling, { blocks, heads, cables }: Found): Sentence {
  const [a = '', b = ''] = blocks.slice(0, heads);
  const openers = (block: string): readonly Place[] =>
    (telling.known(block)?.spec.inputs ?? []).flatMap(({ id, acts }) =>
      acts === 'level' && cables.includes(`${block}.${id}`) ? [[block, id] as const] : [],
    );
  const inputs = [...openers(a), ...openers(b)];
  const source = inputs[0] && telling.arrivals(inputs[0])[0]?.from;
  const ways = inputs.flatMap((input) => telling.arrivals(input));
  const phrase = source ? phraseOf(telling, source) : { say: 'a voltage', blocks: [] };
  const text = `${phrase.say} opens ${telling.name(a)} while its inverted copy closes ${telling.name(b)}: the one fades in as the other fades out`;
  const spoken = [...phrase.blocks, a, b, ...ways.flatMap(({ via }) => via)];
  return sentence(
    'movement',
    text,
    spoken,
    ways.flatMap((way) => way.cables),
  );
}

function isOff(telling: Telling, [block, input]: Place): boolean {
  const known = telling.known(block);
  const amount = known && inputSpec(known.spec, input)?.amount;
  return amount !== undefined && restsAtZero(telling.wired, known as KnownBlock, amount);
}

function tellMoved(telling: Telling, { from, to }: Moved): Sentence {
  const { say, blocks } = phraseOf(telling, from);
  const still = telling.heard?.outputs.get(placeName(from));
  const stands = still !== undefined && !isMoving(still);
  const places = [...to].sort((a, b) => compareIds(placeName(a), placeName(b)));
  const known = telling.known(from[0]);
  const opens = (place: Place): boolean => !stands && known !== undefined && hasJob(known, 'envelope') && isLevel(telling, place);
  const opened = alike(telling, places.filter(opens), stands, true);
  const others = alike(
    telling,
    places.filter((place) => !opens(place)),
    stands,
  );
  const clauses = [
    opened.length > 0 ? `opens ${list(opened, 4)}` : '',
    others.length > 0 ? `${stands ? 'sets' : 'moves'} ${list(others, 6)}` : '',
  ].filter(Boolean);
  const text = `${say} ${clauses.join(' and ')}${ratioText(telling, to)}`;
  return sentence('movement', text, [...blocks, ...to.map(([block]) => block)], to.map(placeName));
}

/** Is it an amplifier's loudness that a rising voltage turns up? */
function isLevel(telling: Telling, [block, input]: Place): boolean {
  const known = telling.known(block);
  return (
    known !== undefined &&
    hasJob(known, 'gain') &&
    inputSpec(known.spec, input)?.acts === 'level' &&
    amountOf(telling.wired, block, input) > 0
  );
}

/** "; it is tuned to 1.4 times Bell" for a tone that bends another one which is played alike. */
function ratioText(telling: Telling, to: readonly Place[]): string {
  const pairs = telling.found.filter(
    ({ construction, cables }) => construction.id === 'audio-rate-fm' && to.some((place) => cables.includes(placeName(place))),
  );
  const [pair, ...others] = pairs;
  const [modulator, carrier] = [telling.known(pair?.blocks[0] ?? ''), telling.known(pair?.blocks[1] ?? '')];
  if (!modulator || !carrier || others.length > 0 || playedBy(telling, modulator) !== playedBy(telling, carrier)) return '';
  const [a, b] = [tuningOf(modulator), tuningOf(carrier)];
  if (!a || !b) return '';
  return `; ${telling.name(modulator.block.id)} is tuned to ${short(a / b)} times the frequency of ${telling.name(carrier.block.id)}`;
}

/** What is moved, the same act with the same depth said together: "the pitch of Leader and Follower (24 cents up and down)". */
function alike(telling: Telling, places: readonly Place[], stands: boolean, bare = false): readonly string[] {
  const groups = new Map<string, { head: string; tail: string; names: string[] }>();
  for (const [block, input] of places) {
    const known = telling.known(block);
    if (!known) continue;
    const { head, tail } = bare ? { head: '', tail: '' } : whatOf(telling, known, input);
    const depth = stands ? '' : depthText(telling, known, input);
    const end = `${tail}${depth === '' ? '' : ` (${depth})`}`;
    const key = `${head} ${end}`;
    groups.set(key, { head, tail: end, names: [...(groups.get(key)?.names ?? []), telling.name(block)] });
  }
  return [...groups.values()].map(({ head, tail, names }) => `${head}${head === '' ? '' : ' '}${list([...new Set(names)])}${tail}`);
}

const heads: Readonly<Partial<Record<Act, string>>> = {
  pitch: 'the pitch of',
  frequency: 'the frequency of',
  width: 'the pulse width of',
  cutoff: 'the cutoff of',
  resonance: 'the resonance of',
  fold: 'the folds of',
  drive: 'the drive of',
  symmetry: 'the symmetry of',
  pan: 'the place of',
  mix: 'the balance of',
  rate: 'the speed of',
  tempo: 'the tempo of',
  attack: 'the attack of',
  decay: 'the decay of',
  release: 'the release of',
  transpose: 'the transposition of',
  address: 'the place in',
  direction: 'the direction of',
  chance: 'the chance of',
  threshold: 'the threshold of',
  start: 'the starting point of',
  hits: 'the number of hits of',
};

function whatOf(telling: Telling, known: KnownBlock, input: string): { readonly head: string; readonly tail: string } {
  const acts = inputSpec(known.spec, input)?.acts;
  if (acts === 'level') {
    if (!hasJob(known, 'gain')) return { head: 'the strength of', tail: '' };
    return passesSound(telling, known.block.id) ? { head: 'the loudness of', tail: '' } : { head: 'how much goes through', tail: '' };
  }
  if (acts === 'pan') return { head: 'the place of', tail: ' between left and right' };
  if (acts === 'time') return { head: hasJob(known, 'echo') ? 'the delay time of' : 'the times of', tail: '' };
  return { head: (acts && heads[acts]) ?? 'an input of', tail: '' };
}

/**
 * How far, as the take shows: "over 2.3 octaves", "24 cents up and down", "from 6 % to 96 %"; "" where it cannot be told, and where other
 * cables move the same setting from another place.
 */
function depthText(telling: Telling, known: KnownBlock, input: string): string {
  const { heard, wired } = telling;
  const figures = heard && inputFigures(heard, wired, known.block.id, input);
  const spec = inputSpec(known.spec, input);
  if (!figures || !spec) return '';
  const amount = amountOf(wired, known.block.id, input);
  const span = Math.abs(amount) * (figures.most - figures.least);
  const { octaves } = depthOfVolts(known, spec, span);
  if (octaves !== undefined) {
    if (octaves < 1 / 1200) return '';
    const even = Math.abs(figures.most + figures.least) < 0.02 * (figures.most - figures.least);
    return even && octaves < 1 ? `${octavesText(octaves / 2)} up and down` : `over ${octavesText(octaves)}`;
  }
  const { moves } = spec;
  const setting = moves && findSetting(known.spec, moves.setting);
  if (!moves || setting?.type !== 'number' || isMovedElsewhere(telling, known, input)) return '';
  const own = Number(settingValue(known.block, setting));
  const at = (volts: number): number => Math.min(setting.maximum, Math.max(setting.minimum, own + amount * moves.perVolt * volts));
  const [low, high] = [at(figures.least), at(figures.most)].sort((a, b) => a - b);
  if (low === undefined || high === undefined || high - low < 0.005 * (setting.maximum - setting.minimum)) return '';
  if (setting.unit !== '') return `from ${formatValue(round(low), setting)} to ${formatValue(round(high), setting)}`;
  return `from ${percent(low)} to ${percent(high)}`;
}

const round = (value: number): number => Number(value.toPrecision(3));

/** Does another cable, or a hand, move the same setting too? */
function isMovedElsewhere(telling: Telling, { block, spec }: KnownBlock, input: string): boolean {
  const setting = inputSpec(spec, input)?.moves?.setting;
  if ((telling.wired.patch.moves ?? []).some((move) => move.block === block.id && move.setting === setting)) return true;
  return spec.inputs.some(({ id, moves }) => id !== input && moves?.setting === setting && sourceOf(telling.wired, block.id, id));
}

/** "Leader restarts Follower at each of its cycles (hard sync)" */
function syncs(telling: Telling): readonly Sentence[] {
  return [...telling.wired.blocks.values()].sort(byId).flatMap(({ block, spec }) =>
    spec.inputs.flatMap(({ id, acts, restarts }) => {
      const from = acts === 'sync' ? sourceOf(telling.wired, block.id, id) : undefined;
      if (!from) return [];
      const setting = restarts && findSetting(spec, restarts.setting);
      const hard = !setting || settingValue(block, setting) === restarts?.is;
      const [leader, follower] = [telling.name(from[0]), telling.name(block.id)];
      const say = hard
        ? `${leader} restarts ${follower} at each of its cycles (hard sync)`
        : `${leader} turns ${follower} round at each of its cycles (soft sync)`;
      return [sentence('movement', say, [from[0], block.id], [`${block.id}.${id}`])];
    }),
  );
}
