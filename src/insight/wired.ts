/** A patch with its blocks' specs looked up and its cables sorted by both ends, for all that asks about it. */

import type { BlockSpec, Catalogue, InputSpec } from '../patch/blockSpec.ts';
import { type Block, type Cable, type Patch, type Place, placeName } from '../patch/document.ts';
import { blockLabel } from '../patch/label.ts';
import { findSetting, settingValue } from '../patch/settings.ts';

export interface KnownBlock {
  readonly block: Block;
  readonly spec: BlockSpec;
  /** What it is called on the sketch. */
  readonly label: string;
}

export interface Wired {
  readonly patch: Patch;
  /** By block id; blocks of unknown type are left out, as are their cables. */
  readonly blocks: ReadonlyMap<string, KnownBlock>;
  /** By input name. */
  readonly into: ReadonlyMap<string, Cable>;
  /** By output name. */
  readonly from: ReadonlyMap<string, readonly Cable[]>;
}

export function wirePatch(patch: Patch, catalogue: Catalogue): Wired {
  const blocks = new Map<string, KnownBlock>();
  for (const block of patch.blocks) {
    const spec = catalogue.get(block.type);
    if (spec) blocks.set(block.id, { block, spec, label: blockLabel(block, spec) });
  }
  const into = new Map<string, Cable>();
  const from = new Map<string, Cable[]>();
  for (const cable of patch.cables) {
    if (!blocks.has(cable.from[0]) || !blocks.has(cable.to[0])) continue;
    into.set(placeName(cable.to), cable);
    const name = placeName(cable.from);
    from.set(name, [...(from.get(name) ?? []), cable]);
  }
  return { patch, blocks, into, from };
}

export function sourceOf(wired: Wired, block: string, input: string): Place | undefined {
  return wired.into.get(`${block}.${input}`)?.from;
}

export function labelOf(wired: Wired, block: string): string {
  return wired.blocks.get(block)?.label ?? block;
}

export function inputSpec(spec: BlockSpec, id: string): InputSpec | undefined {
  return spec.inputs.find((input) => input.id === id);
}

/** Is a number setting 0 for the whole take? A hand movement that leaves 0 counts as not. */
export function restsAtZero(wired: Wired, known: KnownBlock, setting: string): boolean {
  return mostOf(wired, known, setting) === 0 && leastOf(wired, known, setting) === 0;
}

/** The greatest value that a number setting has during the take. */
export function mostOf(wired: Wired, known: KnownBlock, setting: string): number {
  return Math.max(...valuesOf(wired, known, setting));
}

/** The least value that a number setting has during the take. */
export function leastOf(wired: Wired, known: KnownBlock, setting: string): number {
  return Math.min(...valuesOf(wired, known, setting));
}

function valuesOf(wired: Wired, known: KnownBlock, id: string): number[] {
  const setting = findSetting(known.spec, id);
  const own = setting ? Number(settingValue(known.block, setting)) : 0;
  const moves = (wired.patch.moves ?? []).filter((move) => move.block === known.block.id && move.setting === id);
  return [own, ...moves.flatMap((move) => move.points.map((point) => point[1]))];
}
