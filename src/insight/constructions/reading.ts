/** A patch as the search for constructions reads it: what arrives at an input, seen through the blocks that hand voltages on. */
import type { Catalogue, InputSpec, SignalKind } from '../../patch/blockSpec.ts';
import { type Patch, type Place, placeName } from '../../patch/document.ts';
import type { Job } from '../../patch/roles.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import { signalKinds } from '../../patch/signalKind.ts';
import { amountOf, type Heard } from '../heard.ts';
import type { Figures } from '../tally.ts';
import { inputSpec, type KnownBlock, restsAtZero, sourceOf, type Wired, wirePatch } from '../wired.ts';

/** A voltage on its way from the block that makes it to an input where it does something. */
export interface Arrival {
  /** The output that makes it. */
  readonly from: Place;
  readonly to: Place;
  /** Blocks that hand it on, nearest to the input first. */
  readonly via: readonly string[];
  /** The cables it takes, by the input they end in. */
  readonly cables: readonly string[];
  /** Does it arrive upside down? */
  readonly inverted: boolean;
  /** Factor from the output to what acts at the input; undefined where it is not steady. */
  readonly factor: number | undefined;
}

export interface Reading {
  readonly wired: Wired;
  readonly catalogue: Catalogue;
  /** Undefined: the patch has not been rendered; what needs measuring is then judged by its settings. */
  readonly heard: Heard | undefined;
  readonly kinds: ReadonlyMap<string, SignalKind>;
  /** Blocks by job, in an order that does not depend on the document's. */
  byJob(job: Job): readonly KnownBlock[];
  /** What arrives at an input; `more` jobs are seen through besides those that hand voltages on. */
  arrivals(input: Place, more?: readonly Job[]): readonly Arrival[];
}

/** Blocks that only hand a voltage on: smaller, larger, upside down, shifted, added up, slower. */
const handsOn: ReadonlySet<Job> = new Set<Job>(['scale', 'sum', 'smooth']);
/** Nobody draws more ways than this into one input; without an end a dense patch would have too many. */
const MOST_WAYS = 48;

export function hasJob({ spec }: KnownBlock, ...jobs: readonly Job[]): boolean {
  return jobs.some((job) => (spec.jobs ?? []).includes(job));
}

/** Inputs that carry the signal a block works on. */
export function isSignal({ spec }: KnownBlock, input: string): boolean {
  return (spec.flows ?? []).some((flow) => flow.from.includes(input)) && inputSpec(spec, input)?.acts === undefined;
}

/** Sorted as people count: osc2 before osc10. */
export const byId = (a: KnownBlock, b: KnownBlock): number => compareIds(a.block.id, b.block.id);

export function compareIds(a: string, b: string): number {
  const [, stemA = a, numberA = ''] = /^(.*?)(\d*)$/.exec(a) ?? [];
  const [, stemB = b, numberB = ''] = /^(.*?)(\d*)$/.exec(b) ?? [];
  if (stemA !== stemB) return stemA < stemB ? -1 : 1;
  const difference = Number(numberA) - Number(numberB);
  return difference !== 0 ? difference : a < b ? -1 : a > b ? 1 : 0;
}

export function createReading(patch: Patch, catalogue: Catalogue, heard?: Heard): Reading {
  const wired = wirePatch(patch, catalogue);
  const blocks = [...wired.blocks.values()].sort(byId);
  const jobs = new Map<Job, KnownBlock[]>();
  for (const known of blocks) for (const job of known.spec.jobs ?? []) jobs.set(job, [...(jobs.get(job) ?? []), known]);
  const found = new Map<string, readonly Arrival[]>();

  function arrivals(input: Place, more: readonly Job[] = []): readonly Arrival[] {
    const key = `${placeName(input)} ${more.join()}`;
    const before = found.get(key);
    if (before) return before;
    const through = new Set([...handsOn, ...more]);
    const ways: Arrival[] = [];
    const follow = (at: Place, trail: Omit<Arrival, 'from' | 'to'>): void => {
      const from = sourceOf(wired, at[0], at[1]);
      const known = from && wired.blocks.get(from[0]);
      if (!from || !known || ways.length >= MOST_WAYS) return;
      const cables = [...trail.cables, placeName(at)];
      const open = trail.via.includes(from[0]) || !hasJob(known, ...through) ? [] : inwards(wired, known, from[1]);
      if (open.length === 0) ways.push({ ...trail, from, to: input, cables });
      for (const { port, factor } of open) {
        const sign = factor ?? 1;
        follow([from[0], port], {
          via: [...trail.via, from[0]],
          cables,
          inverted: trail.inverted !== sign < 0,
          factor: trail.factor === undefined || factor === undefined ? undefined : trail.factor * factor,
        });
      }
    };
    const amount = amountOf(wired, input[0], input[1]);
    if (amount !== 0 || isMoved(wired, input)) follow(input, { via: [], cables: [], inverted: amount < 0, factor: amount });
    found.set(key, ways);
    return ways;
  }

  return { wired, catalogue, heard, kinds: signalKinds(patch, catalogue), byJob: (job) => jobs.get(job) ?? [], arrivals };
}

/** Is the amount of an input moved by hand during the take? */
function isMoved(wired: Wired, [block, input]: Place): boolean {
  const known = wired.blocks.get(block);
  const amount = known && inputSpec(known.spec, input)?.amount;
  return amount !== undefined && known !== undefined && !restsAtZero(wired, known, amount);
}

/** Patched inputs that flow to an output of a block that hands on, each with its factor where that is steady. */
function inwards(wired: Wired, known: KnownBlock, output: string): { readonly port: string; readonly factor: number | undefined }[] {
  const gives = known.spec.outputs.find(({ id }) => id === output)?.gives;
  return (known.spec.flows ?? []).flatMap((flow) => {
    if (!flow.to.includes(output)) return [];
    return flow.from.flatMap((port) => {
      if (sourceOf(wired, known.block.id, port) === undefined || inputSpec(known.spec, port)?.acts !== undefined) return [];
      const level = flow.levels?.[port];
      if (level !== undefined && restsAtZero(wired, known, level)) return [];
      const setting = level === undefined ? undefined : findSetting(known.spec, level);
      const own = setting ? Number(settingValue(known.block, setting)) : 1;
      const steady = hasJob(known, 'scale', 'sum');
      const factor = own * (gives === 'inverted' ? -1 : 1);
      return [{ port, factor: steady || factor < 0 ? factor : undefined }];
    });
  });
}

/** What an output did in the take. */
export function figuresOf({ heard }: Reading, output: Place): Figures | undefined {
  return heard?.outputs.get(placeName(output));
}

/** Range in volts of what acts at an input, coming from one arrival; undefined where it cannot be told. */
export function swingVolts(reading: Reading, { from, factor, cables, to }: Arrival): number | undefined {
  const figures = figuresOf(reading, from);
  if (figures && factor !== undefined) return Math.abs(factor) * (figures.most - figures.least);
  const [last] = cables;
  const near = last === undefined ? undefined : reading.wired.into.get(last)?.from;
  const arrived = near && figuresOf(reading, near);
  return arrived && Math.abs(amountOf(reading.wired, to[0], to[1])) * (arrived.most - arrived.least);
}

/** How far an arrival moves what it acts on: in octaves where it counts in octaves, else as a share of its whole range. */
export function depthOf(reading: Reading, arrival: Arrival): { readonly octaves?: number; readonly share?: number } {
  const volts = swingVolts(reading, arrival);
  const known = reading.wired.blocks.get(arrival.to[0]);
  const input = known && inputSpec(known.spec, arrival.to[1]);
  if (volts === undefined || !known || !input) return {};
  return depthOfVolts(known, input, volts);
}

export function depthOfVolts(known: KnownBlock, input: InputSpec, volts: number): { readonly octaves?: number; readonly share?: number } {
  const { moves, amount } = input;
  if (moves?.law === 'octaves') return { octaves: volts * moves.perVolt };
  if (moves) {
    const setting = findSetting(known.spec, moves.setting);
    if (setting?.type !== 'number') return {};
    return { share: (volts * moves.perVolt) / (setting.maximum - setting.minimum) };
  }
  const unit = amount === undefined ? undefined : findSetting(known.spec, amount);
  return unit?.type === 'number' && unit.unit === 'oct/V' ? { octaves: volts } : {};
}

/**
 * Cycles per second of a wave: as heard where the take holds three of them, else as set where nothing moves its rate; undefined where
 * neither can be told.
 */
export function hertzOf(reading: Reading, output: Place): number | undefined {
  const figures = figuresOf(reading, output);
  const rate = reading.heard?.rate ?? 1;
  if (figures && figures.rises >= 3) return ((figures.rises - 1) * rate) / (figures.lastRise - figures.firstRise);
  const known = reading.wired.blocks.get(output[0]);
  return known && setHertz(reading, known);
}

/** The rate that is set, in Hz; undefined where a cable moves it or the block has none. */
function setHertz({ wired }: Reading, known: KnownBlock): number | undefined {
  const { block, spec } = known;
  const driven = spec.inputs.some(
    ({ id, acts }) => (acts === 'rate' || acts === 'clock' || acts === 'pitch' || acts === 'frequency') && sourceOf(wired, block.id, id),
  );
  const setting = spec.settings.find((one) => one.type === 'number' && one.unit === 'Hz');
  return driven || !setting ? undefined : Number(settingValue(block, setting));
}

/** Does it go on by itself, without gates: a slow modulator, or an envelope that loops? */
export function runsAlone(reading: Reading, known: KnownBlock): boolean {
  const { block, spec } = known;
  if (hasJob(known, 'cycle', 'tone')) return true;
  if (!hasJob(known, 'envelope')) return false;
  const looped = (spec.needs ?? []).some((need) =>
    (need.unless ?? []).some(({ setting, is }) => {
      const found = findSetting(spec, setting);
      return found !== undefined && settingValue(block, found) === is;
    }),
  );
  return looped || spec.inputs.some(({ id }) => sourceOf(reading.wired, block.id, id)?.[0] === block.id);
}

/** Frequency of a tone at 0 V of pitch, from its settings: hertz, octaves, semitones, cents. */
export function tuningOf({ block, spec }: KnownBlock): number | undefined {
  const base = spec.settings.find((setting) => setting.type === 'number' && setting.note);
  if (!base) return undefined;
  const octavesPer = { octaves: 1, semitones: 1 / 12, cents: 1 / 1200 } as const;
  const shift = spec.settings.reduce((sum, setting) => {
    if (setting.type !== 'number' || !hasOwn(octavesPer, setting.unit) || setting.minimum >= 0) return sum;
    return sum + Number(settingValue(block, setting)) * octavesPer[setting.unit];
  }, 0);
  return Number(settingValue(block, base)) * 2 ** shift;
}

function hasOwn<T extends object>(object: T, key: PropertyKey): key is keyof T {
  return Object.hasOwn(object, key);
}
