/** Reasons why something goes into a block and nothing comes out, from what the spec says of the way through it. */

import { toDb } from '../../measure/levels.ts';
import type { FlowSpec } from '../../patch/blockSpec.ts';
import type { Place } from '../../patch/document.ts';
import type { Finding } from '../finding.ts';
import { amountOf } from '../heard.ts';
import { inputSpec, type KnownBlock, sourceOf } from '../wired.ts';
import type { Cause } from './cause.ts';
import * as causes from './causes.ts';
import { feederOf, ownRangeOf, pushesOn, rangeOf, readBy, type Scene, sizeOf } from './scene.ts';

/** An opening or a level below this explains that nothing comes out (our choice: 20 dB). */
const HARDLY = 0.1;
/** The same as a control voltage, of which 8 V open an amplifier. */
const HARDLY_VOLTS = 0.8;
const NEXT_TO_NOTHING = 0.03;
/** Corner frequencies that can take all of a sound away that was audible before (our choice). */
const LOW_HZ = 400;
const HIGH_HZ = 2500;

/** Inputs that arrive and are not chosen; empty where one of them is. */
export function pickReasons(scene: Scene, known: KnownBlock, { picks }: FlowSpec, arriving: readonly string[]): Finding[] {
  if (!picks) return [];
  const { least, most } = rangeOf(scene, known, picks.setting);
  const passes = (at: number): boolean => most > at - picks.reach && least < at + picks.reach;
  if (arriving.some((id) => picks.at[id] === undefined || passes(picks.at[id]))) return [];
  const moved = pushesOn(scene, known, picks.setting).length > 0;
  return arriving.map((id) => causes.switchedAway(scene, known, picks.setting, id, picks.at[id] as number, moved));
}

/** A threshold that what is watched never crosses. */
export function thresholdReason(scene: Scene, known: KnownBlock, { threshold }: FlowSpec): Finding | undefined {
  if (!threshold) return undefined;
  const watched = readBy(scene, known, threshold.of) ?? scene.heard.outputs.get(`${known.block.id}.${threshold.of}`);
  const at = rangeOf(scene, known, threshold.setting);
  if (!watched || (watched.most >= at.least && watched.least <= at.most)) return undefined;
  return causes.thresholdMissed(scene, known, threshold.setting, watched, at);
}

interface Further {
  why(place: Place, sign: 'up' | 'down'): readonly Cause[];
  noGate(input: string): readonly Cause[];
}

/** What keeps an amplifier closed; empty where it opens. */
export function shutReasons(scene: Scene, known: KnownBlock, { shutWhen }: FlowSpec, further: Further): (Finding | Cause)[] {
  if (!shutWhen) return [];
  const { wired } = scene;
  const opens = shutWhen.settingsAtZero.some((id) => {
    const { least, most } = rangeOf(scene, known, id);
    return Math.max(-least, most) >= (shutWhen.unpatched.length > 0 ? HARDLY : NEXT_TO_NOTHING);
  });
  const patched = shutWhen.unpatched.filter((id) => sourceOf(wired, known.block.id, id));
  const struck = patched.some((id) => inputSpec(known.spec, id)?.kind === 'gate' && (readBy(scene, known, id)?.rises ?? 1) > 0);
  if (opens || struck) return [];
  const [setting = ''] = shutWhen.settingsAtZero;
  if (patched.length === 0) return [causes.shut(scene, known, setting, shutWhen.say)];
  return patched.flatMap((id): readonly (Finding | Cause)[] => {
    const source = sourceOf(wired, known.block.id, id) as Place;
    const input = inputSpec(known.spec, id);
    if (input?.kind === 'gate') return further.noGate(id);
    const figures = readBy(scene, known, id);
    const factor = amountOf(wired, known.block.id, id);
    const amount = input?.amount;
    const size = figures ? sizeOf(figures) : 0;
    const turned = amount === undefined ? undefined : ownRangeOf(scene, known, amount);
    const weak = turned && Math.max(-turned.least, turned.most) * size < HARDLY_VOLTS;
    if (amount !== undefined && weak && size >= HARDLY_VOLTS) return [causes.amountZero(scene, known, id, amount)];
    const wrongWay = figures && Math.max(factor * figures.least, factor * figures.most) < 0.1;
    if (figures && wrongWay && size >= HARDLY_VOLTS) {
      return [turnedOverBefore(scene, known, id, factor) ?? causes.closedByControl(scene, known, id, amount, figures)];
    }
    const behind = further.why(source, factor > 0 ? 'up' : 'down');
    return behind.length > 0 ? behind : [causes.restsShut(scene, known, setting, id, figures)];
  });
}

/** An amplifier that opens, but not half way: by an exponential law that is next to nothing. */
export function hardlyOpenReason(scene: Scene, known: KnownBlock, { shutWhen }: FlowSpec): Finding | undefined {
  const [setting] = shutWhen?.settingsAtZero ?? [];
  const [input] = (shutWhen?.unpatched ?? []).filter((id) => sourceOf(scene.wired, known.block.id, id));
  if (setting === undefined || input === undefined || rangeOf(scene, known, setting).most >= 0.5) return undefined;
  return causes.hardlyOpen(scene, known, setting, input, readBy(scene, known, input));
}

/** The block that feeds an amplifier's control input, where it is what turns the voltage upside down. */
function turnedOverBefore(scene: Scene, reader: KnownBlock, input: string, factor: number): Finding | undefined {
  const source = feederOf(scene.wired, reader, input);
  const known = source && scene.wired.blocks.get(source[0]);
  if (!known || factor < 0) return undefined;
  for (const { to, levels = {} } of known.spec.flows ?? []) {
    for (const [from, level] of Object.entries(levels)) {
      if (!to.includes(source[1]) || !feederOf(scene.wired, known, from)) continue;
      const figures = readBy(scene, known, from);
      if (figures && figures.most >= HARDLY_VOLTS && ownRangeOf(scene, known, level).most < 0) {
        return causes.turnedOver(scene, known, level, reader, input);
      }
    }
  }
  return undefined;
}

/** Levels that let nothing of what arrives through; `audibleDb` where it is to be heard. */
export function levelReasons(
  scene: Scene,
  known: KnownBlock,
  { levels = {} }: FlowSpec,
  arriving: readonly string[],
  audibleDb: number | undefined,
): Finding[] {
  return arriving.flatMap((id) => {
    const level = levels[id];
    if (level === undefined) return [];
    const { least, most } = rangeOf(scene, known, level);
    const size = Math.max(-least, most);
    const source = feederOf(scene.wired, known, id);
    const lost = audibleDb === undefined || !source || scene.levelAt(source) + toDb(size) < audibleDb;
    return size < NEXT_TO_NOTHING && lost ? [causes.levelZero(scene, known, id, level)] : [];
  });
}

/** A filter whose corner frequency leaves nothing of what can be heard. */
export function cornerReason(scene: Scene, known: KnownBlock, { corner }: FlowSpec, output: string): Finding | undefined {
  const keeps = corner?.keeps[output];
  if (!corner || !keeps) return undefined;
  const { setting } = corner;
  const range = rangeOf(scene, known, setting);
  const own = ownRangeOf(scene, known, setting);
  const closes = ({ least, most }: { least: number; most: number }): boolean =>
    (keeps !== 'above' && most < LOW_HZ) || (keeps !== 'below' && least > HIGH_HZ);
  if (!closes(range)) return undefined;
  const low = keeps !== 'above' && range.most < LOW_HZ;
  const pushes = [...pushesOn(scene, known, setting)].sort((a, b) => (low ? a.most - b.most : b.least - a.least));
  return causes.filterClosed(scene, known, setting, range, keeps, closes(own) ? undefined : pushes[0]?.input);
}

/** Inputs that are added up and can cancel each other: none is louder than the others together. */
export function sumReason(
  scene: Scene,
  known: KnownBlock,
  { linear, levels = {} }: FlowSpec,
  arriving: readonly string[],
): Finding | undefined {
  if (!linear || arriving.length < 2) return undefined;
  const sizes = arriving.map((id) => {
    const level = levels[id];
    return (readBy(scene, known, id)?.rms ?? 0) * (level === undefined ? 1 : Math.abs(ownRangeOf(scene, known, level).most));
  });
  const sum = sizes.reduce((a, b) => a + b, 0);
  const largest = Math.max(...sizes);
  if (largest > 1.1 * (sum - largest)) return undefined;
  return causes.cancel(scene, known, arriving, levels[arriving.at(-1) as string]);
}
