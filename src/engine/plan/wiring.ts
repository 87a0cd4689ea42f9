/** What each input reads, now and (while a change cross-fades) before. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { type Block, type Patch, type Place, placeName } from '../../patch/document.ts';
import type { Edge } from './order.ts';

/** An input's source: an output, or the resting voltage of the input. */
export type Source = Place | { readonly rest: number };

export interface WiredInput {
  readonly now: Source;
  /** Present only where the input fades from another source. */
  readonly before?: Source;
  readonly patched: boolean;
}

export interface Wiring {
  readonly blocks: readonly Block[];
  /** By input, "block.port". */
  readonly inputs: ReadonlyMap<string, WiredInput>;
  readonly edges: readonly Edge[];
}

export function isPlace(source: Source): source is Place {
  return Array.isArray(source);
}

function sameSource(a: Source, b: Source): boolean {
  if (isPlace(a)) return isPlace(b) && a[0] === b[0] && a[1] === b[1];
  return !isPlace(b) && a.rest === b.rest;
}

function cablesByInput(patch: Patch): Map<string, Place> {
  return new Map(patch.cables.map((cable) => [placeName(cable.to), cable.from]));
}

/**
 * The wiring of a patch. With `before`, blocks that were removed stay for the time of the fade, inputs whose cable
 * changed carry both sources, and output blocks that come or go fade from or to silence.
 */
export function wire(patch: Patch, specOf: (type: string) => BlockSpec, before?: Patch): Wiring {
  const now = cablesByInput(patch);
  const old = before ? cablesByInput(before) : now;
  const kept = new Map(patch.blocks.map((block) => [block.id, block]));
  const earlier = new Map((before ?? patch).blocks.map((block) => [block.id, block]));
  const gone = [...earlier.values()].filter((block) => kept.get(block.id)?.type !== block.type && !kept.has(block.id));
  const blocks = [...kept.values(), ...gone];
  const alive = new Map(blocks.map((block) => [block.id, block]));
  const inputs = new Map<string, WiredInput>();
  const edges: Edge[] = [];
  for (const block of blocks) {
    const spec = specOf(block.type);
    const isNew = before !== undefined && earlier.get(block.id)?.type !== block.type;
    const isGone = !kept.has(block.id);
    for (const input of spec.inputs) {
      const name = placeName([block.id, input.id]);
      const rest: Source = { rest: input.normal ?? 0 };
      const read = (cables: Map<string, Place>): Source => {
        const from = cables.get(name) ?? (input.normalFrom && cables.get(placeName([block.id, input.normalFrom])));
        return from && alive.has(from[0]) ? from : rest;
      };
      const silent: Source = { rest: 0 };
      const to: Source = isGone ? (spec.bus ? silent : read(old)) : read(now);
      const from: Source = isNew ? (spec.bus ? silent : to) : read(old);
      const fades = before !== undefined && !sameSource(from, to);
      inputs.set(name, { now: to, patched: isPlace(to) || (fades && isPlace(from)), ...(fades ? { before: from } : {}) });
      if (isPlace(to)) edges.push({ name, from: to[0], to: block.id });
      if (fades && isPlace(from)) edges.push({ name: `${name}~`, from: from[0], to: block.id });
    }
  }
  return { blocks, inputs, edges };
}
