/** The renderings behind an answer: the whole, what is left with every mover silenced, and with each source silenced in turn. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { type Patch, type Place, placeName } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import type { Heard, Hearing } from '../heard.ts';
import { moves } from '../tally.ts';
import type { KnownBlock, Wired } from '../wired.ts';
import type { Cone, Source } from './cone.ts';
import { evaluate, outputsOf, type Quantity } from './quantity.ts';

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
  /** Far sources that move. */
  readonly drivers: readonly Source[];
  /** The quantity with some sources silenced. */
  without(sources: readonly Source[]): Float64Array;
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
  const isMoving = (source: Source): boolean =>
    source.setting === undefined ? outputsMove(wired, heard, source.block) : handMoves(wired, source);
  return {
    heard,
    whole: quantityOf(asked, patch, heard, new Map()),
    movers: cone.near.filter(isMoving),
    still: cone.near.filter((source) => !isMoving(source)),
    drivers: cone.far.filter(isMoving),
    without(sources) {
      const holds = holdsOf(wired, sources);
      const silenced = letGo(patch, sources);
      const again = hearing.hear(silenced, { seconds, rate, samples, samplesOnly: true, holds });
      return quantityOf(asked, silenced, again, holds);
    },
  };
}

function quantityOf({ quantity, known, rate }: Asked, patch: Patch, heard: Heard, holds: ReadonlyMap<string, number>): Float64Array {
  const volts = (output: Place): Float32Array | number => holds.get(placeName(output)) ?? heard.samples.get(placeName(output)) ?? 0;
  return evaluate(quantity, known, patch, volts, heard.frames, rate);
}

/** Outputs of silenced blocks, at the volts at which they rest. */
export function holdsOf(wired: Wired, sources: readonly Source[]): ReadonlyMap<string, number> {
  const blocks = sources.filter(({ setting }) => setting === undefined).map(({ block }) => block);
  return new Map(
    blocks.flatMap((id) => {
      const spec = wired.blocks.get(id)?.spec;
      return (spec?.outputs ?? []).map((output): [string, number] => [placeName([id, output.id]), restingVolts(spec, output.id)]);
    }),
  );
}

function restingVolts(spec: BlockSpec | undefined, output: string): number {
  return spec?.needs?.find(({ outputs }) => outputs.includes(output))?.rests?.[output] ?? 0;
}

/** The patch without the movements of some hands. */
export function letGo(patch: Patch, sources: readonly Source[]): Patch {
  const hands = new Set(sources.filter(({ setting }) => setting !== undefined).map(({ key }) => key));
  if (hands.size === 0 || !patch.moves) return patch;
  return { ...patch, moves: patch.moves.filter(({ block, setting }) => !hands.has(placeName([block, setting]))) };
}

/** Does any of the outputs that something reads move? */
function outputsMove(wired: Wired, heard: Heard, block: string): boolean {
  const outputs = wired.blocks.get(block)?.spec.outputs ?? [];
  const names = outputs.map(({ id }) => placeName([block, id])).filter((name) => wired.from.has(name));
  return names.some((name) => {
    const figures = heard.outputs.get(name);
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
