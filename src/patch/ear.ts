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
  const id = freshIds(patch)('ear');
  const ear: Block = { id, type: spec.type, settings: { [spec.bus.dcBlock]: true, [spec.bus.ceiling]: true } };
  return {
    ...patch,
    blocks: [...patch.blocks, ear],
    cables: [...patch.cables.filter(({ to }) => !isHeard(to[0])), { from: [place[0], place[1]], to: [id, input] }],
  };
}
