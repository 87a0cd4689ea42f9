/** The order in which to run the cables of a patch, and its loops. */
import { orderBlocks, type Step } from '../engine/plan/order.ts';
import type { Catalogue } from '../patch/blockSpec.ts';
import { type Cable, type Patch, type Place, placeName } from '../patch/document.ts';

export interface PatchingOrder {
  /** Cables from the sources to the output: those into the blocks that come first, first. */
  readonly cables: readonly Cable[];
  /** Block ids of each loop, in order. */
  readonly loops: readonly (readonly string[])[];
  /** Names ("block.port") of the inputs whose cable closes a loop and arrives one frame late. */
  readonly delayed: ReadonlySet<string>;
}

export function patchingOrder(patch: Pick<Patch, 'blocks' | 'cables'>, catalogue: Catalogue): PatchingOrder {
  const ids = new Set(patch.blocks.map((block) => block.id));
  const cables = patch.cables.filter((cable) => ids.has(cable.from[0]) && ids.has(cable.to[0]));
  const edges = cables.map((cable) => ({ name: placeName(cable.to), from: cable.from[0], to: cable.to[0] }));
  const { steps, delayed } = orderBlocks([...ids], edges);
  const inStep = (step: Step): readonly string[] => ('loop' in step ? step.loop : [step.block]);
  const rank = new Map(steps.flatMap(inStep).map((id, i) => [id, i]));
  const place = (id: string): number => rank.get(id) ?? 0;
  // A cable that closes a loop is run last of those into its block.
  const late = (cable: Cable): number => Number(delayed.has(placeName(cable.to)));
  const types = new Map(patch.blocks.map(({ id, type }) => [id, type]));
  const input = ([id, port]: Place): number => catalogue.get(types.get(id) ?? '')?.inputs.findIndex((each) => each.id === port) ?? 0;
  const sorted = [...cables].sort((a, b) => place(a.to[0]) - place(b.to[0]) || late(a) - late(b) || input(a.to) - input(b.to));
  return { cables: sorted, loops: steps.flatMap((step) => ('loop' in step ? [step.loop] : [])), delayed };
}
