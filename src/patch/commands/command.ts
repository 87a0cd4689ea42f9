/**
 * What commands share. A command is a pure function `(patch, catalogue, arguments) -> Change | Refusal`:
 * it never touches the patch, and whoever calls it decides whether to record the change.
 */
import type { BlockSpec, Catalogue, InputSpec, OutputSpec } from '../blockSpec.ts';
import type { Change } from '../change.ts';
import type { Block, Patch, Place } from '../document.ts';
import { blockLabel } from '../label.ts';
import { quoted } from '../problem.ts';
import type { Refusal } from '../refusal.ts';
import { isRefusal, refuse } from '../refusal.ts';

export type Command<Arguments> = (patch: Patch, catalogue: Catalogue, args: Arguments) => Change | Refusal;

/** "Low voice" for one block, "3 blocks" for more. */
export function namesOf(blocks: readonly Block[], catalogue: Catalogue): string {
  const [only] = blocks;
  return only && blocks.length === 1 ? blockLabel(only, catalogue.get(only.type)) : `${blocks.length} blocks`;
}

export function findBlock(patch: Patch, id: string): Block | Refusal {
  return patch.blocks.find((block) => block.id === id) ?? refuse('no-such-block', `There is no block "${id}" in this patch.`);
}

/** All the blocks named, in the order of the patch. */
export function findBlocks(patch: Patch, ids: readonly string[]): readonly Block[] | Refusal {
  const wanted = new Set(ids);
  if (wanted.size === 0) return refuse('nothing-chosen', 'No block is chosen.');
  const found = patch.blocks.filter((block) => wanted.delete(block.id));
  const [missing] = wanted;
  return missing === undefined ? found : refuse('no-such-block', `There is no block "${missing}" in this patch.`);
}

export function findSpec(catalogue: Catalogue, type: string): BlockSpec | Refusal {
  return catalogue.get(type) ?? refuse('unknown-type', `There is no function "${type}" in the catalogue.`);
}

/** The block of a place with its spec. */
export function findPart(patch: Patch, catalogue: Catalogue, id: string): { readonly block: Block; readonly spec: BlockSpec } | Refusal {
  const block = findBlock(patch, id);
  if (isRefusal(block)) return block;
  const spec = findSpec(catalogue, block.type);
  return isRefusal(spec) ? spec : { block, spec };
}

export function findOutput(patch: Patch, catalogue: Catalogue, [id, port]: Place): OutputSpec | Refusal {
  const part = findPart(patch, catalogue, id);
  if (isRefusal(part)) return part;
  return (
    part.spec.outputs.find((output) => output.id === port) ??
    refuse('no-such-port', noPort(blockLabel(part.block, part.spec), 'output', port, part.spec.outputs))
  );
}

export function findInput(patch: Patch, catalogue: Catalogue, [id, port]: Place): InputSpec | Refusal {
  const part = findPart(patch, catalogue, id);
  if (isRefusal(part)) return part;
  return (
    part.spec.inputs.find((input) => input.id === port) ??
    refuse('no-such-port', noPort(blockLabel(part.block, part.spec), 'input', port, part.spec.inputs))
  );
}

/** "Low voice has no output "sine2"; it has "sine", "saw"." */
export function noPort(label: string, side: 'input' | 'output', port: string, ports: readonly { readonly id: string }[]): string {
  const has = ports.length ? `; it has ${quoted(ports.map(({ id }) => id))}` : ` at all`;
  return `${label} has no ${side} "${port}"${has}.`;
}
