/** The renderings behind an answer: the whole, what is left with every mover silenced, and with each source silenced in turn. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { type Cable, type Patch, placeName } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import type { Heard, Hearing } from '../heard.ts';
import { moves } from '../tally.ts';
import type { KnownBlock, Wired } from '../wired.ts';
import { type Cone, readersOf, type Source } from './cone.ts';
import { evaluate, outputsOf, type Quantity, type Term } from './quantity.ts';

export interface Asked {
  readonly hearing: Hearing;
  readonly wired: Wired;
  readonly known: KnownBlock;
  readonly quantity: Quantity;
  readonly cone: Cone;
  readonly seconds: number;
  readonly rate: number;
}

export interface Rendered {
  readonly heard: Heard;
  /** The quantity on every frame. */
  readonly whole: Float64Array;
  /** Near sources that move, and those that stand still. */
  readonly movers: readonly Source[];
  readonly still: readonly Source[];
  /** Sources that move and act on a mover. */
  readonly drivers: readonly Source[];
  /** Far sources that stand still. */
  readonly idleFar: readonly Source[];
  /** The quantity with some sources silenced on their ways to the place. */
  without(sources: readonly Source[]): Float64Array;
  /** The quantity with a source silenced for all that reads it. */
  withoutAll(source: Source): Float64Array;
}

/** Only what reaches the place: ids, and with them order, loops and randomness, stay as they are. */
export function reachingPatch({ patch }: Wired, { reaching }: Cone): Patch {
  const ids = new Set(reaching);
  return {
    blocks: patch.blocks.filter(({ id }) => ids.has(id)),
    cables: patch.cables.filter(({ from, to }) => ids.has(from[0]) && ids.has(to[0])),
    ...(patch.seed !== undefined && { seed: patch.seed }),
    ...(patch.score && { score: patch.score }),
    ...(patch.moves && { moves: patch.moves }),
    ...(patch.recordings && { recordings: patch.recordings }),
  };
}

export function render(asked: Asked): Rendered {
  const { hearing, wired, cone, seconds, rate } = asked;
  const samples = outputsOf(asked.quantity);
  const patch = reachingPatch(wired, cone);
  // Outputs without a cable tell nothing about what reaches the place.
  const only = patch.cables.map(({ from }) => from);
  const heard = hearing.hear(patch, { seconds, rate, samples, only });
  const isMoving = (source: Source, cables: readonly Cable[]): boolean =>
    source.setting === undefined ? anyMoves(heard, cables) : handMoves(wired, source);
  const allCables = ({ block }: Source): readonly Cable[] => patch.cables.filter(({ from }) => from[0] === block);
  const movers = cone.near.filter((source) => isMoving(source, cone.entriesOf(source)));
  const actsOn = (source: Source): boolean => movers.some((mover) => cone.drives(source, mover));
  const silence = (sources: readonly Source[], cables: readonly Cable[]): Float64Array => {
    const holds = holdsOf(wired, cables);
    const silenced = letGo(patch, sources);
    const again = hearing.hear(silenced, { seconds, rate, samples, samplesOnly: true, holds });
    return quantityOf(asked, silenced, again, holds);
  };
  return {
    heard,
    whole: quantityOf(asked, patch, heard, new Map()),
    movers,
    still: cone.near.filter((source) => !movers.includes(source)),
    drivers: [...cone.far, ...cone.near].filter(
      (source) => isMoving(source, allCables(source)) && (cone.far.includes(source) || actsOn(source)),
    ),
    idleFar: cone.far.filter((source) => !isMoving(source, allCables(source))),
    without: (sources) => silence(sources, sources.flatMap(cone.entriesOf)),
    withoutAll: (source) => silence([source], source.setting === undefined ? allCables(source) : []),
  };
}

function quantityOf({ quantity, known, rate }: Asked, patch: Patch, heard: Heard, holds: ReadonlyMap<string, number>): Float64Array {
  const volts = ({ input, from }: Term): Float32Array | number =>
    holds.get(placeName(input)) ?? (from && heard.samples.get(placeName(from))) ?? 0;
  return evaluate(quantity, known, patch, volts, heard.frames, rate);
}

/** What the inputs at the ends of some cables read once their sources are silenced. */
function holdsOf(wired: Wired, cables: readonly Cable[]): ReadonlyMap<string, number> {
  return new Map(
    cables.flatMap((cable) => {
      const volts = restingVolts(wired.blocks.get(cable.from[0])?.spec, cable.from[1]);
      return readersOf(wired, cable).map((input): [string, number] => [placeName(input), volts]);
    }),
  );
}

function restingVolts(spec: BlockSpec | undefined, output: string): number {
  return spec?.needs?.find(({ outputs }) => outputs.includes(output))?.rests?.[output] ?? 0;
}

/** The patch without the movements of some hands. */
function letGo(patch: Patch, sources: readonly Source[]): Patch {
  const hands = new Set(sources.filter(({ setting }) => setting !== undefined).map(({ key }) => key));
  if (hands.size === 0 || !patch.moves) return patch;
  return { ...patch, moves: patch.moves.filter(({ block, setting }) => !hands.has(placeName([block, setting]))) };
}

/** Does anything move on some cables? */
function anyMoves(heard: Heard, cables: readonly Cable[]): boolean {
  return cables.some(({ from }) => {
    const figures = heard.outputs.get(placeName(from));
    return figures !== undefined && moves(figures);
  });
}

/** Does the hand ever leave the value that the document has? */
function handMoves({ patch, blocks }: Wired, { block, setting = '' }: Source): boolean {
  const known = blocks.get(block);
  const found = known && findSetting(known.spec, setting);
  const value = known && found ? Number(settingValue(known.block, found)) : Number.NaN;
  const points = (patch.moves ?? []).filter((move) => move.block === block && move.setting === setting).flatMap((move) => move.points);
  return points.some((point) => point[1] !== value);
}
