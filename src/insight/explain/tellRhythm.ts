/** Sentences: what beats, and what happens at each beat. */
import { type Place, placeName } from '../../patch/document.ts';
import type { Act } from '../../patch/roles.ts';
import { byId, compareIds, figuresOf, hasJob } from '../constructions/reading.ts';
import { type KnownBlock, sourceOf } from '../wired.ts';
import { isByLot } from './sources.ts';
import { atMost, keyLine, outputTitle, type Sentence, sentence, shownSetting, type Telling } from './telling.ts';
import { countWord, list, oftenText, secondsText } from './words.ts';

const MOST = 7;
const gateActs: ReadonlySet<Act> = new Set<Act>(['fire', 'clock', 'hold', 'reset', 'toggle', 'run']);

export function tellRhythm(telling: Telling): readonly Sentence[] {
  const clocks = telling
    .byJob('clock')
    .filter(({ block, spec }) => spec.outputs.some(({ id }) => telling.wired.from.has(`${block.id}.${id}`)));
  const all = [...(clocks.length > 0 ? [tellClocks(telling, clocks)] : []), ...gates(telling).map((each) => tellGates(telling, each))];
  return atMost(MOST, all, (count) => `${countWord(count)} more gates set things off`);
}

/** "Ferry clock beats at 96 bpm" */
function tellClocks(telling: Telling, clocks: readonly KnownBlock[]): Sentence {
  const speeds = clocks.map((known) => {
    const { tempo, inputs } = known.spec;
    const shown = tempo ? shownSetting(known, tempo.setting) : undefined;
    const moved = inputs.some(({ id, acts }) => acts === 'tempo' && sourceOf(telling.wired, known.block.id, id));
    const swing = tempo?.swing ? swingOf(known, tempo.swing.setting, tempo.swing.even) : '';
    return { name: telling.name(known.block.id), speed: shown === undefined ? '' : `${moved ? 'about ' : ''}${shown}${swing}` };
  });
  const ids = clocks.map(({ block }) => block.id);
  const [only] = speeds;
  if (speeds.length === 1 && only) return sentence('rhythm', `${only.name} beats${only.speed === '' ? '' : ` at ${only.speed}`}`, ids);
  return sentence('rhythm', `${list(speeds.map(({ name, speed }) => `${name}${speed === '' ? '' : ` (${speed})`}`))} beat`, ids);
}

function swingOf(known: KnownBlock, id: string, even: number): string {
  const setting = known.spec.settings.find((one) => one.id === id);
  const value = setting ? Number(known.block.settings?.[id] ?? setting.default) : even;
  return value === even ? '' : ', with swing';
}

interface Gates {
  readonly from: Place;
  readonly to: readonly Place[];
}

/** Outputs that set something off, those that clocks are made of first, then in the order in which people count. */
function gates(telling: Telling): readonly Gates[] {
  const found = new Map<string, { from: Place; to: Place[] }>();
  for (const { block, spec } of [...telling.wired.blocks.values()].sort(byId)) {
    for (const { id, acts } of spec.inputs) {
      const from = sourceOf(telling.wired, block.id, id);
      // What counts pulses is told with what it counts out.
      if (acts === 'clock' && (spec.jobs ?? []).some((job) => job === 'divide' || job === 'times')) continue;
      if (!from || !(acts !== undefined ? gateActs.has(acts) : isStrike(telling, block.id, from))) continue;
      const name = placeName(from);
      found.set(name, { from, to: [...(found.get(name)?.to ?? []), [block.id, id]] });
    }
  }
  const rank = ({ from }: Gates): number => {
    const known = telling.known(from[0]);
    if (!known) return 9;
    return hasJob(known, 'clock') ? 0 : hasJob(known, 'divide', 'times') ? 1 : hasJob(known, 'pattern', 'sequence', 'hand') ? 2 : 3;
  };
  return [...found].sort(([a, x], [b, y]) => rank(x) - rank(y) || compareIds(a, b)).map(([, each]) => each);
}

/** A gate that enters as a signal strikes a filter or an echo. */
function isStrike(telling: Telling, block: string, from: Place): boolean {
  const known = telling.known(block);
  return known !== undefined && hasJob(known, 'filter', 'echo', 'pluck') && telling.kinds.get(placeName(from)) === 'gate';
}

function tellGates(telling: Telling, { from, to }: Gates): Sentence {
  const targets = [...to].sort((a, b) => compareIds(a[0], b[0]));
  const deeds = new Map<string, { names: string[]; say: (names: readonly string[]) => string }>();
  for (const [block, input] of targets) {
    const known = telling.known(block);
    if (!known) continue;
    const deed = deedOf(telling, known, input);
    const before = deeds.get(deed.key);
    deeds.set(deed.key, { names: [...(before?.names ?? []), deed.name], say: deed.say });
  }
  const all = [...deeds.values()].map(({ names, say }) => say(names));
  const { say, behind } = whenText(telling, from);
  const blocks = [from[0], ...behind, ...targets.map(([block]) => block)];
  const cables = targets.map(placeName);
  if (figuresOf(telling, from)?.rises === 0) {
    return sentence('rhythm', `As far as the take shows, ${nameOfGate(telling, from)} never comes`, blocks, cables);
  }
  return sentence('rhythm', `${say}, ${list(all, 6)}`, blocks, cables);
}

/** "At each eighth note of Ferry clock (3.2 a second)" */
function whenText(telling: Telling, from: Place): { readonly say: string; readonly behind: readonly string[] } {
  const figures = figuresOf(telling, from);
  const rate = telling.heard?.rate ?? 1;
  const known = telling.known(from[0]);
  const steady = known !== undefined && hasJob(known, 'clock', 'divide', 'times', 'cycle');
  const often =
    steady && figures && figures.rises >= 3 ? oftenText(((figures.rises - 1) * rate) / (figures.lastRise - figures.firstRise)) : '';
  const { say, by, behind } = eachOf(telling, from);
  const details = [by, often].filter(Boolean).join(', ');
  return { say: `${say}${details === '' ? '' : ` (${details})`}`, behind };
}

function nameOfGate(telling: Telling, from: Place): string {
  return `the ${outputTitle(telling, from)} of ${telling.name(from[0])}`;
}

/** "At each third eighth note of Swell", by a divider that counts them; else as the output's spec says. */
function eachOf(telling: Telling, from: Place): { readonly say: string; readonly by: string; readonly behind: readonly string[] } {
  const [block, output] = from;
  const known = telling.known(block);
  const each = known?.spec.outputs.find(({ id }) => id === output)?.each;
  if (!known || !each) return { say: `Whenever ${nameOfGate(telling, from)} rises`, by: '', behind: [] };
  const clock = known.spec.inputs.find(({ acts }) => acts === 'clock');
  const behind = hasJob(known, 'divide', 'times') && clock ? sourceOf(telling.wired, block, clock.id) : undefined;
  const unit = behind && telling.known(behind[0])?.spec.outputs.find(({ id }) => id === behind[1])?.each;
  const counts = behind && unit && !unit.includes('pulse') && each.endsWith('pulse');
  if (!counts) return { say: `At each ${each} of ${telling.name(block)}`, by: '', behind: [] };
  return {
    say: `At each ${each.replace(/pulse$/, unit)} of ${telling.name(behind[0])}`,
    by: `counted by ${telling.name(block)}`,
    behind: [behind[0]],
  };
}

interface Deed {
  /** Deeds alike are said together. */
  readonly key: string;
  readonly name: string;
  readonly say: (names: readonly string[]) => string;
}

function deedOf(telling: Telling, known: KnownBlock, input: string): Deed {
  const acts = known.spec.inputs.find(({ id }) => id === input)?.acts;
  const name = telling.name(known.block.id);
  const verb = (key: string, one: string, many: string): Deed => ({
    key,
    name,
    say: (names) => `${list(names)} ${names.length === 1 ? one : many}`,
  });
  switch (acts) {
    case 'fire':
      if (hasJob(known, 'envelope')) {
        const { one, many } = known.spec.part;
        const times = envelopeTimes(known);
        return {
          key: 'envelope',
          name: `${name}${times === '' ? '' : ` (${times})`}`,
          say: (names) => `the ${names.length === 1 ? `${one} ${names[0]} begins` : `${many} ${list(names)} begin`}`,
        };
      }
      if (hasJob(known, 'delayGate')) return verb('delay', 'sends its own gates', 'send their own gates');
      if (hasJob(known, 'playback')) return verb('play', 'plays its sound file', 'play their sound files');
      if (hasJob(known, 'flip')) return verb('on', 'is switched on', 'are switched on');
      return verb('struck', 'is struck', 'are struck');
    case 'clock':
      if (hasJob(known, 'sequence')) return verb('step', 'goes one step on', 'go one step on');
      if (hasJob(known, 'shift')) return verb('shift', 'moves its voltages one place on', 'move their voltages one place on');
      if (hasJob(known, 'random')) return verb('hold', 'takes a new voltage', 'take new voltages');
      if (hasJob(known, 'cycle')) return verb('time', 'is kept in time', 'are kept in time');
      if (hasJob(known, 'lot')) return verb('lot', 'draws a lot', 'draw lots');
      if (hasJob(known, 'pattern')) {
        const line = keyLine(known);
        const shown = `${name}${line === '' ? '' : ` (${line})`}`;
        return {
          key: 'pattern',
          name: shown,
          say: (names) => `${list(names)} ${names.length === 1 ? 'goes one step on in its rhythm' : 'go one step on in their rhythms'}`,
        };
      }
      if (hasJob(known, 'divide', 'times')) return verb('count', 'counts on', 'count on');
      return verb('switch', 'goes one place further', 'go one place further');
    case 'hold':
      return verb('hold', isByLot(telling, known) ? 'takes a new random voltage' : 'takes a new voltage', 'take new voltages');
    case 'reset':
      return verb('reset', 'goes back to its start', 'go back to their start');
    case 'toggle':
      return verb('toggle', 'changes over', 'change over');
    case 'run':
      return verb('run', 'runs on while the gate is high', 'run on while the gate is high');
    default:
      return verb('struck', 'is struck', 'are struck');
  }
}

/** "2 ms up, 240 ms down": the rise, then the fall by the shape that is set. */
function envelopeTimes(known: KnownBlock): string {
  const { block, spec } = known;
  const rise = spec.envelope?.attack;
  const timed = spec.inputs.some(({ acts }) => acts === 'attack');
  if (rise === undefined || !timed) return '';
  const value = (id: string): number | undefined => {
    const setting = spec.settings.find((one) => one.id === id);
    return setting?.type === 'number' && setting.unit === 's' ? Number(block.settings?.[id] ?? setting.default) : undefined;
  };
  const up = value(rise);
  const fall = fallOf(known);
  const down = fall === undefined ? undefined : value(fall);
  return [up === undefined ? '' : `${secondsText(up)} up`, down === undefined ? '' : `${secondsText(down)} down`]
    .filter(Boolean)
    .join(', ');
}

/** The setting that is the time of the last fall. */
function fallOf({ block, spec }: KnownBlock): string | undefined {
  const shape = spec.envelope?.fall;
  if (!shape) return undefined;
  const setting = spec.settings.find(({ id }) => id === shape.by);
  return shape.of[String(block.settings?.[shape.by] ?? setting?.default ?? '')];
}
