/** What moves this? The voltage at an input, or what is done to a setting, over the take, and the share of each source in it. */
import { DEFAULT_SECONDS, type Patch, type Place } from '../../patch/document.ts';
import { findSetting } from '../../patch/settings.ts';
import type { Hearing } from '../heard.ts';
import { STILL_VOLTS, Tally } from '../tally.ts';
import { inputSpec, type KnownBlock, type Wired, wirePatch } from '../wired.ts';
import type { Driver, Idle, Mover, MovesAnswer, Target } from './answer.ts';
import { type Cone, coneOf, type Source } from './cone.ts';
import { isExact } from './linear.ts';
import { figuresOf, movementOf } from './movement.ts';
import { inputQuantity, type Quantity, settingQuantity } from './quantity.ts';
import { rangeOf } from './range.ts';
import { sayMoves } from './say.ts';
import { type Rendered, render } from './shares.ts';

export interface MovesArgs {
  readonly at: Place;
  readonly side: 'input' | 'setting';
  /** Left out: the patch's own length. */
  readonly seconds?: number;
}

/** Longest take that is heard for an answer, in seconds, and the most seconds of all its renderings together. */
export const LONGEST_SECONDS = 12;
const WORK_SECONDS = 120;
const SHORTEST_SECONDS = 1;
const RATE = 48000;
/** Exact shares add up to the voltage within this, in volts (rounding of 32-bit cables); else they are not called exact. */
export const EXACT_VOLTS = 1e-4;

/** Throws a PlanRefused where the patch does not fit the engine, an Error where there is no such input or setting. */
export function whatMoves(hearing: Hearing, patch: Patch, args: MovesArgs): MovesAnswer {
  const wired = wirePatch(patch, hearing.catalogue);
  const { known, quantity, target } = lookUp(wired, args);
  const cone = coneOf(
    wired,
    quantity.terms.map(({ input }) => input),
    quantity.hands,
  );
  const wanted = args.seconds ?? patch.seconds ?? DEFAULT_SECONDS;
  const renderings = 2 + cone.near.length + cone.far.length;
  const affordable = Math.max(SHORTEST_SECONDS, Math.floor((10 * WORK_SECONDS) / renderings) / 10);
  const seconds = Math.min(wanted, LONGEST_SECONDS, affordable);
  const rendered = render({ hearing, wired, known, quantity, cone, seconds, rate: RATE });
  return answer({ wired, known, quantity, target, cone, rendered, seconds, wanted });
}

function lookUp(wired: Wired, { at: [id, port], side }: MovesArgs): { known: KnownBlock; quantity: Quantity; target: Target } {
  const known = wired.blocks.get(id);
  if (!known) throw new Error(`There is no block "${id}" in this patch.`);
  const input = side === 'input' ? inputSpec(known.spec, port) : undefined;
  const setting = side === 'setting' ? findSetting(known.spec, port) : undefined;
  const named = (title: string): Target => ({ block: id, port, side, title, label: known.label });
  if (input) return { known, quantity: inputQuantity(wired, known, input), target: named(input.title) };
  if (setting?.type === 'number') return { known, quantity: settingQuantity(wired, known, setting), target: named(setting.title) };
  throw new Error(`"${port}" is no ${side === 'input' ? 'input' : 'setting in numbers'} of ${known.label}.`);
}

interface Parts {
  readonly wired: Wired;
  readonly known: KnownBlock;
  readonly quantity: Quantity;
  readonly target: Target;
  readonly cone: Cone;
  readonly rendered: Rendered;
  readonly seconds: number;
  readonly wanted: number;
}

function answer(parts: Parts): MovesAnswer {
  const { wired, known, quantity, target, cone, rendered, seconds, wanted } = parts;
  const { whole, movers } = rendered;
  const total = movementOf(whole, RATE);
  const rest = movers.length === 0 ? whole : rendered.without(movers);
  // What the shares and the rest do not add up to.
  const together = difference(whole, rest);
  const measured = movers.map((source) => {
    const left = movers.length === 1 ? rest : rendered.without([source]);
    const share = difference(whole, left);
    for (let i = 0; i < share.length; i++) together[i] = (together[i] as number) - (share[i] as number);
    return { source, movement: movementOf(share, RATE), left: ratio(figuresOf(left).rms, total.rms) };
  });
  const gap = movementOf(together, RATE);
  const exact = measured.map(({ source }) => isExact(wired, cone, source, movers, rendered.heard, quantity));
  // Where all ways are linear the sum is the proof; a rail inside a loop, say, would show here.
  const proved = !exact.every(Boolean) || Math.max(Math.abs(gap.least), Math.abs(gap.most)) < EXACT_VOLTS;
  const sizes = measured.reduce((sum, { movement }) => sum + effectOf(movement), 0);
  const effective = measured.map(
    ({ source, movement, left }, i): Mover => ({
      ...told(source, cone),
      share: ratio(effectOf(movement), sizes),
      method: proved && exact[i] ? 'exact' : 'silenced',
      left,
      movement,
    }),
  );
  const drivers = rendered.drivers.map((source) => {
    const left = rendered.withoutAll(source);
    const missing = figuresOf(difference(whole, left));
    const drives = movers.filter((mover) => cone.drives(source, mover)).map(({ key }) => key);
    const driver: Driver = { ...told(source, cone, true), drives, left: ratio(figuresOf(left).rms, total.rms) };
    return { driver, missing };
  });
  const acting = drivers.filter(({ missing }) => changes(missing));
  const isNamed = ({ key }: Source): boolean => acting.some(({ driver }) => driver.key === key);
  const isNear = ({ key }: Source): boolean => cone.near.some((source) => source.key === key);
  const vain = [
    ...effective.filter(({ movement }) => !changes(movement)),
    ...drivers.filter(({ driver, missing }) => !changes(missing) && !isNear(driver)).map(({ driver }) => driver),
  ];
  const facts = {
    target,
    unit: unitOf(quantity),
    seconds,
    wanted,
    renderings: 1 + (movers.length > 1 ? movers.length + 1 : movers.length) + rendered.drivers.length,
    total,
    rest: movementOf(rest, RATE),
    together: gap,
    movers: effective.filter(({ movement }) => changes(movement)).sort((a, b) => b.share - a.share),
    drivers: acting.sort((a, b) => b.missing.rms - a.missing.rms).map(({ driver }) => driver),
    idle: [
      ...[...rendered.still, ...rendered.idleFar].filter((source) => !isNamed(source)).map((source) => idling(source, 'still')),
      ...vain.filter((source) => !isNamed(source)).map((source) => idling(source, 'no effect')),
    ],
    range: rangeOf(quantity, known, whole),
    rises: target.side === 'input' && inputSpec(known.spec, target.port)?.kind === 'gate' ? risesOf(whole) : undefined,
  };
  return { ...facts, say: sayMoves(facts, wired) };

  function idling(source: Source, why: Idle['why']): Idle {
    return { ...told(source, cone), why };
  }
}

function risesOf(whole: Float64Array): number {
  const tally = new Tally();
  tally.add(Float32Array.from(whole), whole.length);
  return tally.figures().rises;
}

function difference(a: Float64Array, b: Float64Array): Float64Array {
  const result = new Float64Array(a.length);
  for (let i = 0; i < a.length; i++) result[i] = (a[i] as number) - (b[i] as number);
  return result;
}

const ratio = (part: number, whole: number): number => (whole === 0 ? 0 : part / whole);

function changes({ least, most }: { readonly least: number; readonly most: number }): boolean {
  return Math.max(most, -least) > STILL_VOLTS;
}

/** A difference that moves counts by its movement. */
function effectOf(movement: Mover['movement']): number {
  return changes(movement) ? movement.rms : 0;
}

function told({ key, block, setting, label }: Source, cone: Cone, wide = false) {
  const source = { key, block, label, ...(setting !== undefined && { setting }) };
  return { ...source, ...cone.wayOf(source, wide) };
}

function unitOf({ law, moved }: Quantity): MovesAnswer['unit'] {
  if (law === 'volts') return 'V';
  return law === 'octaves' ? 'octaves' : (moved?.setting.unit ?? '');
}
