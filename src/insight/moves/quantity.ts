/** What is measured: the volts at an input, or how far a setting is moved, in octaves or in its unit. */
import type { InputSpec, MovesSpec, NumberSetting } from '../../patch/blockSpec.ts';
import { type Patch, type Place, placeName } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import { inputSpec, type KnownBlock, type Wired } from '../wired.ts';
import { inputCable } from './cone.ts';
import { handCurve } from './handCurve.ts';

/** One input that counts, scaled by a factor and by a setting. */
export interface Term {
  readonly input: Place;
  /** The output that it reads; undefined where nothing is patched. */
  readonly from: Place | undefined;
  /** Volts read while nothing is patched. */
  readonly rest: number;
  readonly factor: number;
  readonly amount: string | undefined;
}

export interface Moved {
  readonly setting: NumberSetting;
  /** What counts of it is held in here. */
  readonly within: readonly [number, number];
  readonly law: MovesSpec['law'];
  /** What the quantity is multiplied by before it acts. */
  readonly scale: number;
}

export interface Quantity {
  readonly terms: readonly Term[];
  readonly law: 'volts' | MovesSpec['law'];
  /** The setting that is moved; undefined for volts at an input that moves none. */
  readonly moved: Moved | undefined;
  /** Settings whose hand movements act here directly. */
  readonly hands: readonly Place[];
}

/** What a patched term reads: an input that is held has one value for all frames. */
export type Volts = (term: Term) => Float32Array | number;

export function inputQuantity(wired: Wired, known: KnownBlock, input: InputSpec): Quantity {
  const term = termOf(wired, known, input, 1, undefined);
  return { terms: [term], law: 'volts', moved: movedBy(known, input), hands: [] };
}

/** Inputs that move the setting, all by the same law, and the setting itself. */
export function settingQuantity(wired: Wired, known: KnownBlock, setting: NumberSetting): Quantity {
  const all = known.spec.inputs.filter(({ moves }) => moves?.setting === setting.id);
  const law = all[0]?.moves?.law ?? 'add';
  const inputs = all.filter(({ moves }) => moves?.law === law);
  const terms = inputs.map((input) => termOf(wired, known, input, input.moves?.perVolt ?? 0, input.amount));
  const settings = [setting.id, ...terms.flatMap(({ amount }) => amount ?? [])];
  const within = inputs[0]?.moves?.within ?? [setting.minimum, setting.maximum];
  return { terms, law, moved: { setting, within, law, scale: 1 }, hands: settings.map((id): Place => [known.block.id, id]) };
}

/** An input moves a setting by what its amount says; a hand at the amount is left out of account. */
function movedBy({ block, spec }: KnownBlock, { moves, amount }: InputSpec): Quantity['moved'] {
  const setting = moves && findSetting(spec, moves.setting);
  if (!moves || setting?.type !== 'number') return undefined;
  const scaling = amount === undefined ? undefined : findSetting(spec, amount);
  const scale = moves.perVolt * (scaling ? Number(settingValue(block, scaling)) : 1);
  return { setting, within: moves.within ?? [setting.minimum, setting.maximum], law: moves.law, scale };
}

function termOf(wired: Wired, { block, spec }: KnownBlock, input: InputSpec, factor: number, amount: string | undefined): Term {
  const from = inputCable(wired, [block.id, input.id])?.from;
  const normal = input.normalFrom === undefined ? input : (inputSpec(spec, input.normalFrom) ?? input);
  return { input: [block.id, input.id], from, rest: normal.normal ?? 0, factor, amount };
}

/** The quantity on every frame. `patch` is the one that was rendered: its hand movements count. */
export function evaluate(quantity: Quantity, known: KnownBlock, patch: Patch, volts: Volts, frames: number, rate: number): Float64Array {
  const sum = new Float64Array(frames);
  for (const term of quantity.terms) {
    const { from, rest, factor, amount } = term;
    const source = from ? volts(term) : rest;
    const scale = amount === undefined ? 1 : curveOf(known, patch, amount, rate);
    if (typeof scale === 'function') addScaled(sum, source, (i) => factor * scale(i));
    else if (typeof source === 'number') addSteady(sum, source * scale * factor);
    else addAll(sum, source, scale * factor);
  }
  addHand(sum, quantity, known, patch, rate);
  return sum;
}

function addSteady(sum: Float64Array, volts: number): void {
  if (volts !== 0) for (let i = 0; i < sum.length; i++) sum[i] = (sum[i] as number) + volts;
}

function addAll(sum: Float64Array, volts: Float32Array, factor: number): void {
  for (let i = 0; i < sum.length; i++) sum[i] = (sum[i] as number) + (volts[i] as number) * factor;
}

function addScaled(sum: Float64Array, volts: Float32Array | number, scale: (frame: number) => number): void {
  for (let i = 0; i < sum.length; i++) sum[i] = (sum[i] as number) + (typeof volts === 'number' ? volts : (volts[i] as number)) * scale(i);
}

/** What the hand at the setting itself adds, counted from the document's value. */
function addHand(sum: Float64Array, { law, moved }: Quantity, known: KnownBlock, patch: Patch, rate: number): void {
  if (law === 'volts' || !moved) return;
  const curve = curveOf(known, patch, moved.setting.id, rate);
  if (typeof curve === 'number') return;
  const base = Number(settingValue(known.block, moved.setting));
  for (let i = 0; i < sum.length; i++) {
    const value = curve(i);
    sum[i] = (sum[i] as number) + (law === 'octaves' ? Math.log2(value / base) : value - base);
  }
}

/** A number setting over the take: its value, or the value at a frame where a hand moves it. */
function curveOf({ block, spec }: KnownBlock, patch: Patch, id: string, rate: number): number | ((frame: number) => number) {
  const setting = findSetting(spec, id);
  const value = setting ? Number(settingValue(block, setting)) : 1;
  const points = (patch.moves ?? []).filter((move) => move.block === block.id && move.setting === id).flatMap((move) => move.points);
  return points.length === 0 ? value : handCurve(value, points, rate);
}

/** The setting's value where the quantity is `amount`, before it is held within its range. */
export function movedValue({ setting, law, scale }: Moved, { block }: KnownBlock, amount: number): number {
  const base = Number(settingValue(block, setting));
  return law === 'octaves' ? base * 2 ** (amount * scale) : base + amount * scale;
}

/** The quantity at which the setting has a value; without end where nothing brings it there. */
export function amountFor({ setting, law, scale }: Moved, { block }: KnownBlock, value: number): number {
  const base = Number(settingValue(block, setting));
  const way = law === 'octaves' ? Math.log2(value / base) : value - base;
  return scale === 0 ? Math.sign(way) * Number.POSITIVE_INFINITY : way / scale;
}

export function outputsOf({ terms }: Quantity): Place[] {
  const places = terms.flatMap(({ from }): Place[] => (from ? [from] : []));
  return [...new Map(places.map((place) => [placeName(place), place])).values()];
}
