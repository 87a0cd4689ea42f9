/** What is said about each reason for silence, and how it is mended. All of them name the place where the signal dies. */
import type { FlowSpec, MuteSpec, NeedSpec } from '../../patch/blockSpec.ts';
import type { Place } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import { formatValue } from '../../patch/values/format.ts';
import type { Finding, Fix } from '../finding.ts';
import { missingNeed, nothingPatched, shutFlow } from '../signalPath.ts';
import type { Figures } from '../tally.ts';
import { inputSpec, type KnownBlock, labelOf } from '../wired.ts';
import { reconnect, setTo, switchOn, toDefault, turnUp, unplug } from './mending.ts';
import { feederOf, handMove, numberAt, ownRangeOf, type Range, rangeOf, readBy, type Scene, sizeOf } from './scene.ts';

const plain = (value: number): string => String(Number(value.toPrecision(2)) + 0);

export function found(known: KnownBlock, id: string, port: string | undefined, say: string, fix?: Fix): Finding {
  const place: Place | undefined = port === undefined ? undefined : [known.block.id, port];
  return { id, severity: 'error', block: known.block.id, ...(place && { place }), say, ...(fix && { fix }) };
}

function mended(finding: Finding, fix: Fix | undefined): Finding {
  return { ...finding, severity: 'error', ...(fix && { fix }) };
}

const inputTitle = (known: KnownBlock, id: string): string => inputSpec(known.spec, id)?.title ?? id;
const settingTitle = (known: KnownBlock, id: string): string => findSetting(known.spec, id)?.title ?? id;

/** "CV", fed by Pluck shape */
function fedInput(scene: Scene, known: KnownBlock, input: string): string {
  const source = feederOf(scene.wired, known, input);
  const title = `its input "${inputTitle(known, input)}"`;
  return source ? `${title}, fed by ${labelOf(scene.wired, source[0])},` : title;
}

/** Where a setting is: "is at 0", "is moved by hand and stays at 0", "is moved by hand between 0 and 0.02". */
function stands(scene: Scene, known: KnownBlock, id: string): string {
  const setting = findSetting(known.spec, id);
  if (!setting) return '';
  if (!handMove(scene.wired, known, id)) return `is at ${formatValue(settingValue(known.block, setting), setting)}`;
  const { least, most } = ownRangeOf(scene, known, id);
  const [from, to] = [formatValue(least, setting), formatValue(most, setting)];
  return from === to ? `is moved by hand and stays at ${to}` : `is moved by hand between ${from} and ${to}`;
}

function between({ least, most }: Range): string {
  return plain(least) === plain(most) ? `stays at ${plain(most)} V` : `goes from ${plain(least)} to ${plain(most)} V`;
}

/** How high a voltage gets, for sentences. */
function reach(figures: Figures | undefined): string {
  if (!figures || sizeOf(figures) < 0.005) return 'stays at 0 V';
  return figures.most <= 0 ? `stays below 0 V` : `reaches ${plain(figures.most)} V at most`;
}

export function outputUnpatched(scene: Scene, known: KnownBlock): Finding {
  const [input] = known.spec.inputs;
  const say = `Nothing is patched to ${known.label}: run a cable to its input "${input?.title ?? ''}".`;
  return found(known, 'output-unpatched', input?.id, say, input && reconnect(scene.wired, known, input.id));
}

export function outputLow(scene: Scene, known: KnownBlock, level: string): Finding {
  const say = `"${settingTitle(known, level)}" of ${known.label} ${stands(scene, known, level)}, so what arrives there cannot be heard.`;
  return found(known, 'output-low', level, say, toDefault(scene.wired, known, level));
}

export function onlyDirect(scene: Scene, known: KnownBlock, input: string, figures: Figures): Finding {
  const source = feederOf(scene.wired, known, input);
  const say = `Only direct voltage comes to ${known.label}, ${plain(figures.mean)} V from ${labelOf(scene.wired, source?.[0] ?? '')}, and a voltage that stands still makes no sound.`;
  return found(known, 'dc-only', input, say);
}

export function tooSlowToHear(scene: Scene, known: KnownBlock, input: string): Finding {
  const source = feederOf(scene.wired, known, input);
  const say = `What arrives at ${known.label} from ${labelOf(scene.wired, source?.[0] ?? '')} moves too slowly to be heard.`;
  return found(known, 'below-hearing', input, say);
}

export function faulty(known: KnownBlock): Finding {
  return found(known, 'fault', undefined, `${known.label} gave numbers that are no voltages and was muted; look at what feeds it.`);
}

export function needsCable(scene: Scene, known: KnownBlock, need: NeedSpec): Finding {
  return mended(missingNeed(known, need), reconnect(scene.wired, known, need.input));
}

/** A gate that is patched and never rises far enough. */
export function gateLow(scene: Scene, known: KnownBlock, input: string, still: string | undefined, figures: Figures | undefined): Finding {
  const what = `what comes to ${fedInput(scene, known, input)} ${reach(figures)}, and a gate counts from 1.5 V`;
  const say = still ? `${known.label} ${still}: ${what}.` : `Nothing comes out of ${known.label}: ${what}.`;
  const fix = inputSpec(known.spec, input)?.normal ? unplug(known, input) : strengthen(scene, known, input);
  return found(known, 'gate-low', input, say, fix);
}

/** Turns up the level that makes a gate too low on its way. */
function strengthen(scene: Scene, known: KnownBlock, input: string): Fix | undefined {
  const source = feederOf(scene.wired, known, input);
  const feeder = source && scene.wired.blocks.get(source[0]);
  for (const { to, levels = {} } of feeder?.spec.flows ?? []) {
    for (const [from, level] of Object.entries(levels)) {
      if (!feeder || !source || !to.includes(source[1]) || !(readBy(scene, feeder, from)?.rises ?? 0)) continue;
      const { least, most } = rangeOf(scene, feeder, level);
      if (Math.max(-least, most) < 1) return turnUp(scene.wired, feeder, level);
    }
  }
  return undefined;
}

export function restsAtNothing(scene: Scene, known: KnownBlock, input: string, still: string): Finding {
  return found(known, 'input-rests', input, `${known.label} ${still}: what comes to ${fedInput(scene, known, input)} stays at 0 V.`);
}

export function nothingIn(scene: Scene, known: KnownBlock, flow: FlowSpec): Finding {
  const [input] = flow.from;
  return mended(
    nothingPatched(known, flow),
    input !== undefined && flow.from.length === 1 ? reconnect(scene.wired, known, input) : undefined,
  );
}

export function levelZero(scene: Scene, known: KnownBlock, input: string, level: string): Finding {
  const source = feederOf(scene.wired, known, input);
  const what = source ? `what comes from ${labelOf(scene.wired, source[0])} stops there` : 'nothing gets through';
  const say = `"${settingTitle(known, level)}" of ${known.label} ${stands(scene, known, level)}, so ${what}.`;
  return found(known, 'level-zero', level, say, turnUp(scene.wired, known, level));
}

/** A control input that could open it, scaled down to nothing. */
export function amountZero(scene: Scene, known: KnownBlock, input: string, amount: string): Finding {
  const cable = `what comes to ${fedInput(scene, known, input)} does nothing`;
  const say = `${known.label} stays closed: "${settingTitle(known, amount)}" ${stands(scene, known, amount)}, so ${cable}.`;
  return found(known, 'amount-zero', amount, say, turnUp(scene.wired, known, amount));
}

/** An amplifier that nothing opens: nothing is patched to its controls. */
export function shut(scene: Scene, known: KnownBlock, setting: string, say: string): Finding {
  return mended(shutFlow(known, say), turnUp(scene.wired, known, setting));
}

/** An amplifier whose control input rests too low to open it. */
export function restsShut(scene: Scene, known: KnownBlock, setting: string, input: string, figures: Figures | undefined): Finding {
  const say = `${known.label} stays closed: its "${settingTitle(known, setting)}" ${stands(scene, known, setting)}, and what comes to ${fedInput(scene, known, input)} ${reach(figures)}.`;
  return found(known, 'shut', input, say, turnUp(scene.wired, known, setting));
}

export function hardlyOpen(scene: Scene, known: KnownBlock, setting: string, input: string, figures: Figures | undefined): Finding {
  const say = `${known.label} hardly opens: its "${settingTitle(known, setting)}" ${stands(scene, known, setting)}, and what comes to ${fedInput(scene, known, input)} ${reach(figures)}.`;
  return found(known, 'shut', input, say, turnUp(scene.wired, known, setting));
}

export function closedByControl(scene: Scene, known: KnownBlock, input: string, amount: string | undefined, figures: Figures): Finding {
  const turned = amount === undefined ? 1 : numberAt(known, amount);
  const range = between(figures);
  const why =
    turned < 0
      ? `${range}, and "${settingTitle(known, amount ?? '')}" turns that upside down, as it ${stands(scene, known, amount ?? '')}`
      : `${range}, and only voltages above 0 V open it`;
  const say = `${known.label} stays closed: what comes to ${fedInput(scene, known, input)} ${why}.`;
  return found(known, 'cv-negative', amount ?? input, say, amount === undefined ? undefined : setTo(scene.wired, known, amount, -turned));
}

export function neverTogether(known: KnownBlock): Finding {
  const say = `Sound comes to ${known.label}, and it opens, but never at the same time.`;
  return found(known, 'never-together', undefined, say);
}

export function switchedAway(scene: Scene, known: KnownBlock, setting: string, input: string, at: number, moved: boolean): Finding {
  const source = feederOf(scene.wired, known, input);
  const say = `"${settingTitle(known, setting)}" of ${known.label} ${stands(scene, known, setting)}, so what comes to "${inputTitle(known, input)}" from ${labelOf(scene.wired, source?.[0] ?? '')} does not pass.`;
  return found(known, 'switched-away', setting, say, moved ? undefined : setTo(scene.wired, known, setting, at));
}

export function filterClosed(
  scene: Scene,
  known: KnownBlock,
  setting: string,
  corner: Range,
  keeps: string,
  pusher: string | undefined,
): Finding {
  const hz = keeps === 'below' ? corner.most : corner.least;
  const passes =
    keeps === 'below'
      ? `nothing above ${plain(hz)} Hz`
      : keeps === 'above'
        ? `nothing below ${plain(hz)} Hz`
        : `only what is about ${plain(hz)} Hz`;
  const why =
    pusher === undefined
      ? `its "${settingTitle(known, setting)}" ${stands(scene, known, setting)}`
      : `what comes to ${fedInput(scene, known, pusher)} moves it there`;
  const say = `${known.label} is closed: it lets ${passes} through, because ${why}.`;
  const amount = pusher === undefined ? undefined : inputSpec(known.spec, pusher)?.amount;
  const fix =
    pusher === undefined
      ? toDefault(scene.wired, known, setting)
      : amount === undefined
        ? unplug(known, pusher)
        : setTo(scene.wired, known, amount, 0);
  return found(known, 'filter-closed', pusher ?? setting, say, fix);
}

export function cancel(scene: Scene, known: KnownBlock, inputs: readonly string[], level: string | undefined): Finding {
  const names = inputs.map((id) => `"${inputTitle(known, id)}" (${labelOf(scene.wired, feederOf(scene.wired, known, id)?.[0] ?? '')})`);
  const listed = `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
  const say = `What comes to ${known.label} at ${listed} is opposite: added up, it cancels to nothing.`;
  return found(known, 'cancel', inputs.at(-1), say, level === undefined ? undefined : setTo(scene.wired, known, level, 0));
}

export function thresholdMissed(scene: Scene, known: KnownBlock, setting: string, of: Range, at: Range): Finding {
  const title = settingTitle(known, setting);
  const over = of.least > at.most;
  const range = between(of);
  const say = over
    ? `${known.label} never changes over: what it watches ${range} and never falls below its "${title}" of ${plain(at.most)} V.`
    : `${known.label} never goes high: what it watches ${range} and never reaches its "${title}" of ${plain(at.least)} V.`;
  const middle = Number(((of.least + of.most) / 2).toPrecision(3));
  return found(known, 'threshold', setting, say, of.most - of.least > 0.1 ? setTo(scene.wired, known, setting, middle) : undefined);
}

export function muted(scene: Scene, known: KnownBlock, mute: MuteSpec): Finding {
  const [first] = mute.when ?? [];
  const list = mute.noneOf;
  const fix = list
    ? switchOn(scene.wired, known, list.list, list.fields, numberAt(known, list.length))
    : first && toDefault(scene.wired, known, first.setting);
  return found(known, 'muted', list?.list ?? first?.setting, `${known.label} ${mute.say}.`, fix);
}

/** What only a take lacks, and live sound has. */
function onlyInTakes(known: KnownBlock, id: string, say: string): Finding {
  return { ...found(known, id, undefined, say), severity: 'hint' };
}

export function noNotes(known: KnownBlock): Finding {
  return onlyInTakes(known, 'no-notes', `The patch has no notes, so nothing plays ${known.label} in a take; it can only be played live.`);
}

export function notesLate(known: KnownBlock, seconds: number, first: number): Finding {
  const say = `The first note for ${known.label} comes after ${plain(first)} s, and the take is over after ${plain(seconds)} s.`;
  return onlyInTakes(known, 'notes-late', say);
}

export function byHand(known: KnownBlock): Finding {
  return onlyInTakes(known, 'by-hand', `Nobody presses ${known.label} in a take; it can only be pressed live.`);
}

export function liveOnly(known: KnownBlock): Finding {
  return onlyInTakes(known, 'live-only', `${known.label} plays what comes in live, so it is silent in a take.`);
}

export function soundFileMissing(known: KnownBlock, setting: string, name: string): Finding {
  const say = `The sound file "${name}" of ${known.label} is not in this notebook: choose it again in its settings.`;
  return found(known, 'sound-file-missing', setting, say);
}

export function tooSlow(scene: Scene, known: KnownBlock, setting: string, seconds: number): Finding {
  const say = `${known.label} is too slow: its "${settingTitle(known, setting)}" ${stands(scene, known, setting)}, so it gets nowhere in the ${plain(seconds)} s of the take.`;
  return found(known, 'too-slow', setting, say, toDefault(scene.wired, known, setting));
}

export function tunedTooHigh(scene: Scene, known: KnownBlock, hz: number, setting: string | undefined, input: string | undefined): Finding {
  const why =
    setting === undefined
      ? `what comes to ${fedInput(scene, known, input ?? '')} moves it there`
      : `its "${settingTitle(known, setting)}" ${stands(scene, known, setting)}`;
  const say = `${known.label} is tuned too high to be heard, above ${plain(hz / 1000)} kHz, because ${why}.`;
  return found(known, 'above-hearing', setting ?? input, say, setting === undefined ? undefined : toDefault(scene.wired, known, setting));
}

export function tunedTooLow(scene: Scene, known: KnownBlock, hz: number, setting: string | undefined, input: string | undefined): Finding {
  const why =
    setting === undefined
      ? `what comes to ${fedInput(scene, known, input ?? '')} moves it there`
      : `its "${settingTitle(known, setting)}" ${stands(scene, known, setting)}`;
  const say = `${known.label} swings too slowly to be heard, at most ${plain(hz)} times a second, because ${why}.`;
  return found(known, 'below-hearing', setting ?? input, say, setting === undefined ? undefined : toDefault(scene.wired, known, setting));
}

/** `circle`: blocks that wait for each other, at least one. */
export function onlyItself(circle: readonly KnownBlock[]): Finding {
  const known = circle[0] as KnownBlock;
  const names = circle.map(({ label }) => label);
  const who =
    names.length === 1
      ? `${known.label} is fed only by itself`
      : `${names.slice(0, -1).join(', ')} and ${names.at(-1)} only feed each other`;
  return found(known, 'only-itself', undefined, `${who}: a loop needs a sound or a voltage that comes in from outside it.`);
}

/** A block on the way to a control input that turns the voltage upside down. */
export function turnedOver(scene: Scene, known: KnownBlock, level: string, reader: KnownBlock, input: string): Finding {
  const where = `"${inputTitle(reader, input)}" of ${reader.label}`;
  const say = `${reader.label} stays closed: "${settingTitle(known, level)}" of ${known.label} ${stands(scene, known, level)}, so what reaches ${where} is below 0 V.`;
  return found(known, 'cv-negative', level, say, setTo(scene.wired, known, level, -numberAt(known, level)));
}

export function cannotTell(known: KnownBlock): Finding {
  return found(known, 'unknown', undefined, `Sound goes into ${known.label} and none comes out; I cannot tell why.`);
}
