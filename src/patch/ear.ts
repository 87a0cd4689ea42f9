/** Listening to one point of a patch: a copy of the patch in which only that point is heard. The document itself never changes. */
import type { BlockSpec, Catalogue } from './blockSpec.ts';
import { freshIds } from './commands/freshIds.ts';
import type { Block, Patch, Place } from './document.ts';

/** The first kind of block that is heard. */
function busSpec(catalogue: Catalogue): BlockSpec | undefined {
  return [...catalogue.values()].find((spec) => spec.bus);
}

/** Is this an output of the patch? */
export function hasOutput(patch: Pick<Patch, 'blocks'>, catalogue: Catalogue, [id, port]: Place): boolean {
  const type = patch.blocks.find((block) => block.id === id)?.type;
  return catalogue.get(type ?? '')?.outputs.some((output) => output.id === port) ?? false;
}

/**
 * The patch with no cable into what is heard and one block more that is heard, fed by `place`, at its usual level, with dc block and
 * ceiling on. All other blocks and cables stay as they are, and so does every random voltage. Where there is no such point, or nothing
 * in the catalogue is heard, the patch as it is.
 */
export function earPatch(patch: Patch, catalogue: Catalogue, place: Place): Patch {
  const spec = busSpec(catalogue);
  const input = spec?.inputs[0]?.id;
  if (!spec?.bus || input === undefined || !hasOutput(patch, catalogue, place)) return patch;
  const types = new Map(patch.blocks.map((block) => [block.id, block.type]));
  const isHeard = (id: string): boolean => catalogue.get(types.get(id) ?? '')?.bus !== undefined;
  const ear = earBlock(patch, spec.type, spec.bus);
  return {
    ...patch,
    blocks: [...patch.blocks, ear],
    cables: [...patch.cables.filter(({ to }) => !isHeard(to[0])), { from: [place[0], place[1]], to: [ear.id, input] }],
  };
}

function earBlock(patch: Patch, type: string, bus: NonNullable<BlockSpec['bus']>): Block {
  return { id: freshIds(patch)('ear'), type, settings: { [bus.dcBlock]: true, [bus.ceiling]: true } };
}

/**
 * The patch with an ear that hears nothing any more: a way back while it sounds, since a dc block that is taken away before it has come to
 * rest leaves a click.
 */
export function restingEar(patch: Patch, catalogue: Catalogue): Patch {
  const spec = busSpec(catalogue);
  return spec?.bus ? { ...patch, blocks: [...patch.blocks, earBlock(patch, spec.type, spec.bus)] } : patch;
}
