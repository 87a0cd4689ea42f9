import type { BlockSpec, InputSpec, OutputSpec, SignalKind } from '../blockSpec.ts';
import { inputEdge } from '../blockSpec.ts';
import type { Change } from '../change.ts';
import { addedBlocks, applyChange, composeChanges } from '../change.ts';
import type { Place } from '../document.ts';
import { placeName, samePlace } from '../document.ts';
import { blockLabel } from '../label.ts';
import type { Refusal } from '../refusal.ts';
import { isRefusal, refuse } from '../refusal.ts';
import type { AddBlock } from './addBlock.ts';
import { addBlock } from './addBlock.ts';
import type { Command } from './command.ts';
import { findOutput, findPart } from './command.ts';
import { connect } from './connect.ts';

export interface InsertIntoCable {
  /** The input that names the cable. */
  readonly cable: Place;
  /** A block of the patch, or a new one to be added. */
  readonly block: string | AddBlock;
}

/** Puts a block into a cable: the cable's source feeds the block's main input, its main output feeds the cable's input. */
export const insertIntoCable: Command<InsertIntoCable> = (patch, catalogue, { cable: to, block }) => {
  const cable = patch.cables.find((other) => samePlace(other.to, to));
  if (!cable) return refuse('no-such-cable', `There is no cable into "${placeName(to)}".`);
  const source = findOutput(patch, catalogue, cable.from);
  if (isRefusal(source)) return source;

  const added: Change | Refusal = typeof block === 'string' ? { label: '' } : addBlock(patch, catalogue, block);
  if (isRefusal(added)) return added;
  const id = typeof block === 'string' ? block : (addedBlocks(added)[0]?.id ?? '');
  const withBlock = applyChange(patch, added);
  const part = findPart(withBlock, catalogue, id);
  if (isRefusal(part)) return part;
  const label = blockLabel(part.block, part.spec);
  if (id === cable.from[0] || id === cable.to[0]) return refuse('not-usable-here', `${label} is already at one end of this cable.`);
  const way = mainWay(part.spec, source.kind);
  if (!way) return refuse('not-usable-here', `${label} cannot stand in a cable: it needs an input and an output.`);
  const entry: Place = [id, way.input.id];
  if (withBlock.cables.some((other) => samePlace(other.to, entry))) {
    return refuse('input-taken', `${label} already has a cable in "${way.input.title}"; remove it first.`);
  }

  const enter = connect(withBlock, catalogue, { from: cable.from, to: entry });
  if (isRefusal(enter)) return enter;
  const leave = connect(applyChange(withBlock, enter), catalogue, { from: [id, way.output.id], to });
  if (isRefusal(leave)) return leave;
  return composeChanges(composeChanges(added, enter), leave, `Insert ${typeof block === 'string' ? label : part.spec.title}`);
};

/** The way a signal takes through a block: the first input on the left edge and the first output of like kind. */
export function mainWay(spec: BlockSpec, kind: SignalKind): { readonly input: InputSpec; readonly output: OutputSpec } | undefined {
  const input =
    spec.inputs.find((candidate) => inputEdge(candidate) === 'left') ??
    spec.inputs.find((candidate) => candidate.kind === kind) ??
    spec.inputs[0];
  const output =
    spec.outputs.find((candidate) => candidate.kind === kind) ??
    spec.outputs.find((candidate) => candidate.kind === input?.kind) ??
    spec.outputs[0];
  return input && output && { input, output };
}
