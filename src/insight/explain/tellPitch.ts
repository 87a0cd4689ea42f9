/** Sentences: what plays the pitches, and which notes. */
import type { ListSetting } from '../../patch/blockSpec.ts';
import { type Place, placeName } from '../../patch/document.ts';
import { findSetting, listRecords, settingValue } from '../../patch/settings.ts';
import { formatValue, lowerFirst, noteName } from '../../patch/values/index.ts';
import { type Arrival, compareIds, figuresOf, hasJob, tuningOf } from '../constructions/reading.ts';
import { inputSpec, type KnownBlock, sourceOf } from '../wired.ts';
import { isByLot } from './sources.ts';
import { atMost, isA, keyLine, outputTitle, type Sentence, sentence, type Telling } from './telling.ts';
import { counted, countWord, list, partWord } from './words.ts';

const MOST = 5;
/** A row is written out up to so many notes. */
const MOST_NOTES = 16;

/** What is played from one output. */
interface Played {
  readonly from: Place;
  readonly arrivals: readonly Arrival[];
}

/** Arrivals that play notes: at inputs for pitch, from what makes notes. */
export function notesAt(telling: Telling, block: string, input: string): readonly Arrival[] {
  const spec = telling.known(block)?.spec;
  const port = spec && inputSpec(spec, input);
  if (!port || port.acts === undefined || (port.acts !== 'pitch' && port.kind !== 'pitch') || port.acts === 'transpose') return [];
  return telling
    .arrivals([block, input], ['quantize', 'choose'])
    .filter(({ from }) => isA(telling, from[0], 'sequence', 'hand', 'random', 'shift') && !isGate(telling, from));
}

function isGate(telling: Telling, [block, output]: Place): boolean {
  return telling.known(block)?.spec.outputs.find(({ id }) => id === output)?.kind === 'gate';
}

export function tellPitch(telling: Telling): readonly Sentence[] {
  const played = new Map<string, Played>();
  for (const id of [...telling.wired.blocks.keys()].sort(compareIds)) {
    for (const input of telling.known(id)?.spec.inputs ?? []) {
      for (const arrival of notesAt(telling, id, input.id)) {
        const name = placeName(arrival.from);
        played.set(name, { from: arrival.from, arrivals: [...(played.get(name)?.arrivals ?? []), arrival] });
      }
    }
  }
  const told = [...played].sort(([a], [b]) => compareIds(a, b)).flatMap(([, each]) => tellPlayed(telling, each));
  return atMost(MOST, told, (count) => `${countWord(count)} more sources of pitch play`);
}

function tellPlayed(telling: Telling, { from, arrivals }: Played): readonly Sentence[] {
  const known = telling.known(from[0]);
  if (!known) return [];
  const targets = [...new Set(arrivals.map(({ to }) => to[0]))].sort(compareIds);
  const quantizers = [...new Set(arrivals.flatMap(({ via }) => via.filter((id) => isA(telling, id, 'quantize'))))].sort(compareIds);
  const rounded =
    quantizers.length === 0 ? '' : `, rounded to notes by ${list(quantizers.map((id) => `${telling.name(id)}${inBrackets(telling, id)}`))}`;
  const blocks = [from[0], ...arrivals.flatMap(({ via }) => via), ...targets];
  const cables = arrivals.flatMap((arrival) => arrival.cables);
  const say = `${sayPlayed(telling, known, from, targets, arrivals)}${rounded}`;
  const sentences = [sentence('pitch', say, blocks, cables)];
  if (known.spec.playsNotes) sentences.push(tellScore(telling, known));
  return sentences;
}

function inBrackets(telling: Telling, id: string): string {
  const known = telling.known(id);
  const line = known ? keyLine(known) : '';
  return line === '' ? '' : ` (${line})`;
}

function sayPlayed(telling: Telling, known: KnownBlock, from: Place, targets: readonly string[], arrivals: readonly Arrival[]): string {
  const name = telling.name(from[0]);
  const whom = list(targets.map(telling.name), 6);
  if (known.spec.playsNotes) return `${name} (${partWord(known.spec)}) plays the pitch of ${whom}`;
  const row = rowOf(known, from);
  if (row) {
    const notes = notesText(telling, known, row, arrivals);
    const direction = directionText(known);
    return `${name} plays a row of ${countWord(row.length)} ${row.length === 1 ? 'step' : 'steps'} on ${whom}${direction}${notes}`;
  }
  if (isByLot(telling, known)) return `${name} chooses the pitch of ${whom} by lot`;
  if (hasJob(known, 'random')) return `${name} (${partWord(known.spec)}) plays the voltages that it holds as the pitch of ${whom}`;
  if (hasJob(known, 'sequence')) return `${name} (${partWord(known.spec)}) steps through voltages for the pitch of ${whom}`;
  return `The ${outputTitle(telling, from)} of ${name} (${partWord(known.spec)}) sets the pitch of ${whom}`;
}

/** The pitches in volts that a row plays, a rest as undefined; undefined where the block keeps no row for that output. */
function rowOf({ block, spec }: KnownBlock, [, output]: Place): readonly (number | undefined)[] | undefined {
  const length = spec.row && findSetting(spec, spec.row.length);
  const steps = spec.settings.find((setting): setting is ListSetting => setting.type === 'list');
  const pitch = steps?.fields.find((field) => field.type === 'number' && field.pitchVolts);
  if (!length || !steps || !pitch || pitch.id !== output) return undefined;
  const gate = steps.fields.find(
    (field) => field.type === 'switch' && spec.outputs.some(({ id, kind }) => id === field.id && kind === 'gate'),
  );
  const records = listRecords(steps, settingValue(block, steps));
  return Array.from({ length: Number(settingValue(block, length)) }, (_, i) => {
    const record = records[i] ?? {};
    const sounds = gate === undefined || (record[gate.id] ?? gate.default) === true;
    return sounds ? Number(record[pitch.id] ?? pitch.default) : undefined;
  });
}

/** The notes as they sound on the first target; "" where a transposition or a quantizer makes them others. */
function notesText(telling: Telling, known: KnownBlock, row: readonly (number | undefined)[], arrivals: readonly Arrival[]): string {
  const transposed = known.spec.inputs.some(({ id, acts }) => acts === 'transpose' && sourceOf(telling.wired, known.block.id, id));
  const tuned = arrivals
    .flatMap(({ to, factor, via }) => {
      const target = telling.known(to[0]);
      const hertz = target && tuningOf(target);
      const plain = via.length === 0 && factor === 1 && alone(telling, to);
      return hertz !== undefined && plain ? [{ id: to[0], hertz }] : [];
    })
    .sort((a, b) => a.hertz - b.hertz || compareIds(a.id, b.id));
  const [lowest] = tuned;
  if (transposed || !lowest || row.length > MOST_NOTES) return '';
  const base = 69 + 12 * Math.log2(lowest.hertz / 440);
  const names = row.map((volts) => (volts === undefined ? 'rest' : noteName(Math.round(base + 12 * volts))));
  const on = new Set(arrivals.map(({ to }) => to[0])).size > 1 ? ` (on ${telling.name(lowest.id)})` : '';
  return `: ${names.join(' ')}${on}`;
}

/** Does only this cable bend the pitch, but for little movements about it? */
function alone(telling: Telling, [block, input]: Place): boolean {
  const spec = telling.known(block)?.spec;
  return (spec?.inputs ?? []).every(({ id, kind, acts }) => {
    if (id === input || kind !== 'pitch' || acts === undefined) return true;
    const from = sourceOf(telling.wired, block, id);
    const figures = from && figuresOf(telling, from);
    return from === undefined || (figures !== undefined && Math.abs(figures.mean) < 0.01);
  });
}

function directionText({ block, spec }: KnownBlock): string {
  const setting = spec.settings.find(
    (one) => one.type === 'choice' && spec.inputs.some(({ id, acts }) => acts === 'direction' && id === one.id),
  );
  const value = setting && settingValue(block, setting);
  return setting && value !== setting.default && value !== undefined ? ` (${lowerFirst(formatValue(value, setting))})` : '';
}

/** The notes of the score, which every keyboard plays. */
function tellScore(telling: Telling, known: KnownBlock): Sentence {
  const score = (telling.wired.patch.score ?? []).filter(({ at }) => at < telling.seconds);
  const name = telling.name(known.block.id);
  if (score.length === 0) return sentence('pitch', `Nobody plays ${name} in the take`, [known.block.id]);
  const notes = score.map(({ note }) => note);
  const [low, high] = [noteName(Math.min(...notes)), noteName(Math.max(...notes))];
  const range = low === high ? `all ${low}` : `between ${low} and ${high}`;
  return sentence('pitch', `The take plays ${counted(score.length, { one: 'note', many: 'notes' })} on ${name}, ${range}`, [
    known.block.id,
  ]);
}
