/** What a plan is made of, before anything has an address: wiring, order, what is read and what lives on. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { type Block, type Patch, placeName } from '../../patch/document.ts';
import { outputIds } from './layout.ts';
import { orderBlocks, type Step } from './order.ts';
import { type EngineCatalogue, type PlanOptions, PlanRefused } from './plan.ts';
import { isPlace, type Source, type Wiring, wire } from './wiring.ts';

/** A block in the order of the schedule. */
export interface ResolvedBlock {
  readonly id: string;
  readonly block: Block;
  readonly spec: BlockSpec;
  readonly kind: number;
  /** Lives on from the running plan. */
  readonly carried: boolean;
  /** Belongs to the new patch (not only to the one that fades out). */
  readonly stays: boolean;
}

/** An input that cross-fades from one source to another. */
export interface Fading {
  readonly input: string;
  readonly owner: string;
  readonly from: Source;
  readonly to: Source;
}

export interface Resolved {
  readonly wiring: Wiring;
  readonly steps: readonly Step[];
  readonly delayed: ReadonlySet<string>;
  readonly blocks: readonly ResolvedBlock[];
  readonly fadings: readonly Fading[];
  /** Outputs that something reads, in the order of the schedule. */
  readonly outputs: readonly { readonly block: ResolvedBlock; readonly name: string }[];
  /** Volts of inputs that stand still, whatever their cable brings. */
  readonly holds: ReadonlyMap<string, number>;
  /** Resting voltages of unpatched inputs, and of held ones. */
  readonly rests: readonly number[];
}

export function resolve(patch: Patch, catalogue: EngineCatalogue, options: PlanOptions): Resolved {
  const kinds = new Map(catalogue.specs.map((spec, kind) => [spec.type, kind]));
  const kindOf = (type: string): number => {
    const kind = kinds.get(type);
    if (kind === undefined) throw new PlanRefused(`There is no block of type "${type}".`);
    return kind;
  };
  const specOf = (type: string): BlockSpec => catalogue.specs[kindOf(type)] as BlockSpec;
  const wiring = wire(patch, specOf, options.fade?.before);
  const feeds = new Set((options.feeds ?? []).map(placeName));
  const { steps, delayed } = orderBlocks(
    wiring.blocks.map(({ id }) => id),
    wiring.edges.filter((edge) => !feeds.has(edge.name)),
  );
  const byId = new Map(wiring.blocks.map((block) => [block.id, block]));
  const staying = new Set(patch.blocks.map(({ id }) => id));
  const blocks = steps
    .flatMap((step) => ('block' in step ? [step.block] : step.loop))
    .map((id): ResolvedBlock => {
      const block = byId.get(id) as Block;
      const carried = options.previous?.blocks.get(id)?.spec.type === block.type;
      return { id, block, spec: specOf(block.type), kind: kindOf(block.type), carried, stays: staying.has(id) };
    });
  const sources = [...wiring.inputs.values()].flatMap(({ now, before }) => (before ? [now, before] : [now]));
  const wanted = new Set([...sources.filter(isPlace), ...(options.taps ?? []).map(({ at }) => at)].map(placeName));
  const outputs = blocks.flatMap((block) => {
    const bus = block.spec.bus ? [block.spec.bus.left, block.spec.bus.right] : [];
    return outputIds(block.spec)
      .map((port) => ({ block, port, name: placeName([block.id, port]) }))
      .filter(({ name, port }) => wanted.has(name) || bus.includes(port));
  });
  const fadings = [...wiring.inputs].flatMap(([input, { now, before }]): Fading[] =>
    before === undefined || feeds.has(input) ? [] : [{ input, owner: input.slice(0, input.indexOf('.')), from: before, to: now }],
  );
  const holds = options.holds ?? new Map<string, number>();
  const rests = [...new Set([0, ...sources.flatMap((source) => (isPlace(source) ? [] : [source.rest])), ...holds.values()])];
  return { wiring, steps, delayed, blocks, fadings, outputs, holds, rests };
}
