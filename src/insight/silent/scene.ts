/** A take of a patch, listened to: what every output did, and how loud it is to the ear where sound runs. */
import { Ear, loudestLevel } from '../../measure/ear.ts';
import { FULL_SCALE_VOLTS } from '../../measure/levels.ts';
import { type Move, type Patch, type Place, placeName } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import { amountOf, type Heard, type Hearing, inputFigures } from '../heard.ts';
import type { Figures } from '../tally.ts';
import { inputSpec, type KnownBlock, sourceOf, type Wired, wirePatch } from '../wired.ts';

/**
 * What stays below this is called silent: the highest level with weighting A and time weighting "fast" of IEC 61672-1, in dB
 * re full scale. The figure is our choice: at a loud 85 dB for full scale it leaves 25 dB, which a quiet room covers.
 */
export const SILENT_DB = -60;

export interface Scene {
  readonly wired: Wired;
  readonly heard: Heard;
  readonly seconds: number;
  /** Sound files (by sha256) that are not there. */
  readonly missing: ReadonlySet<string>;
  /** Of the take, as `SILENT_DB` counts it; -Infinity for nothing at all. */
  readonly level: number;
  /** The same of an output of a block, before anything behind it; -Infinity where no signal input reads it. */
  levelAt(place: Place): number;
}

export interface SceneOptions {
  readonly seconds?: number | undefined;
  readonly missing?: readonly string[] | undefined;
}

export function listen(hearing: Hearing, patch: Patch, { seconds, missing = [] }: SceneOptions): Scene {
  const wired = wirePatch(patch, hearing.catalogue);
  const ears = new Map<string, Ear>();
  const rate = 48000;
  const heard = hearing.hear(patch, {
    rate,
    ...(seconds !== undefined && { seconds }),
    ears: (at) => {
      const name = placeName(at);
      if (!isHeardAlong(wired, name)) return undefined;
      const ear = new Ear(rate, FULL_SCALE_VOLTS);
      ears.set(name, ear);
      return ear;
    },
  });
  return {
    wired,
    heard,
    seconds: heard.frames / heard.rate,
    missing: new Set(missing),
    level: loudestLevel([heard.left, heard.right], heard.rate),
    levelAt: (place) => ears.get(placeName(place))?.level ?? Number.NEGATIVE_INFINITY,
  };
}

/** How loud a patch is, without asking further. */
export function levelOf(hearing: Hearing, patch: Patch, seconds: number | undefined): number {
  const { left, right, rate } = hearing.hear(patch, { samplesOnly: true, rate: 48000, ...(seconds !== undefined && { seconds }) });
  return loudestLevel([left, right], rate);
}

/** Does a cable lead from this output to where a signal passes through a block or leaves the patch? */
function isHeardAlong(wired: Wired, output: string): boolean {
  return (wired.from.get(output) ?? []).some(({ to: [id, input] }) => {
    const spec = wired.blocks.get(id)?.spec;
    return Boolean(spec?.bus) || (spec?.flows ?? []).some((flow) => flow.from.includes(input));
  });
}

/** The output whose voltage an input reads: its own cable's, or that of the input it is normalled to. */
export function feederOf(wired: Wired, { block, spec }: KnownBlock, input: string): Place | undefined {
  const from = inputSpec(spec, input)?.normalFrom;
  return sourceOf(wired, block.id, input) ?? (from === undefined ? undefined : sourceOf(wired, block.id, from));
}

export function readBy({ heard, wired }: Scene, known: KnownBlock, input: string): Figures | undefined {
  return inputFigures(heard, wired, known.block.id, input);
}

/** The greatest distance from 0 V. */
export function sizeOf({ least, most }: Figures): number {
  return Math.max(-least, most);
}

export interface Range {
  readonly least: number;
  readonly most: number;
}

/** Where a number setting stands during the take, by itself or moved by hand. */
export function ownRangeOf({ wired, seconds }: Scene, known: KnownBlock, id: string): Range {
  const own = numberAt(known, id);
  const points = handMove(wired, known, id)?.points ?? [];
  const [first] = points;
  if (!first) return { least: own, most: own };
  const values = first[0] > 0 ? [own] : [];
  for (const [i, [at, value]] of points.entries()) {
    if (at > seconds) break;
    const next = points[i + 1];
    values.push(value);
    if (next && next[0] > seconds) values.push(value + ((next[1] - value) * (seconds - at)) / (next[0] - at));
  }
  return { least: Math.min(...values), most: Math.max(...values) };
}

export function handMove(wired: Wired, known: KnownBlock, id: string): Move | undefined {
  return (wired.patch.moves ?? []).find((move) => move.block === known.block.id && move.setting === id);
}

/** Where a number setting stands during the take, with all that moves it: hand movements and control inputs. */
export function rangeOf(scene: Scene, known: KnownBlock, id: string): Range {
  const own = ownRangeOf(scene, known, id);
  const setting = findSetting(known.spec, id);
  if (setting?.type !== 'number') return own;
  const pushes = pushesOn(scene, known, id);
  const [first] = pushes;
  if (!first) return own;
  const { law, within = [setting.minimum, setting.maximum] } = first.moves;
  const least = pushes.reduce((sum, push) => sum + push.least, 0);
  const most = pushes.reduce((sum, push) => sum + push.most, 0);
  const held = (value: number): number => Math.min(Math.max(value, within[0]), within[1]);
  return law === 'add'
    ? { least: held(own.least + least), most: held(own.most + most) }
    : { least: held(own.least * 2 ** least), most: held(own.most * 2 ** most) };
}

export interface Push extends Range {
  readonly input: string;
  readonly moves: NonNullable<ReturnType<typeof inputSpec>>['moves'] & object;
}

/** By how much each patched input moves a setting, in its unit or in octaves. */
export function pushesOn(scene: Scene, known: KnownBlock, setting: string): Push[] {
  return known.spec.inputs.flatMap(({ id, moves }) => {
    if (moves?.setting !== setting || !feederOf(scene.wired, known, id)) return [];
    const figures = readBy(scene, known, id);
    if (!figures) return [];
    const factor = amountOf(scene.wired, known.block.id, id) * moves.perVolt;
    const ends = [figures.least * factor, figures.most * factor];
    return [{ input: id, moves, least: Math.min(...ends), most: Math.max(...ends) }];
  });
}

export function numberAt(known: KnownBlock, id: string): number {
  const setting = findSetting(known.spec, id);
  return setting ? Number(settingValue(known.block, setting)) : 0;
}
