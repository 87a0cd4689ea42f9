/** The patch's blocks as the canvas library's nodes, keeping the identity of those that did not change. */

import type { Node } from '@xyflow/react';
import type { BlockSpec, Catalogue } from '../../patch/blockSpec.ts';
import { type Block, type Patch, placeName } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import type { BlockSymbol } from '../../patch/symbol.ts';
import type { BlockGeometry, Point } from '../../sheet/drawing/geometry.ts';

export interface BlockData extends Record<string, unknown> {
  readonly block: Block;
  readonly spec: BlockSpec;
  readonly symbol: BlockSymbol;
  /** Per patched input, the source in words: "Low voice, Saw". */
  readonly sources: Readonly<Record<string, string>>;
  /** Outputs that feed something. */
  readonly used: readonly string[];
  /** Outputs with a probe. */
  readonly probed: readonly string[];
}

export type BlockFlowNode = Node<BlockData, 'block'>;

export interface NodeParts {
  readonly patch: Patch;
  readonly selected: ReadonlySet<string>;
  readonly blocks: ReadonlyMap<string, BlockGeometry>;
  readonly moved: ReadonlyMap<string, Point>;
  readonly catalogue: Catalogue;
  readonly symbols: Readonly<Record<string, BlockSymbol>>;
}

export function flowNodes(before: readonly BlockFlowNode[], parts: NodeParts): BlockFlowNode[] {
  const { patch, selected, blocks, moved, catalogue, symbols } = parts;
  const old = new Map(before.map((node) => [node.id, node]));
  const sources = sourcesByBlock(patch, catalogue);
  const probes = patch.probes ?? [];
  const used = outputsInUse(patch);
  return patch.blocks.flatMap((block): BlockFlowNode[] => {
    const spec = catalogue.get(block.type);
    const symbol = symbols[block.type];
    const geometry = blocks.get(block.id);
    if (!spec || !symbol || !geometry) return [];
    const was = old.get(block.id);
    const data = sameOr(was?.data, {
      block,
      spec,
      symbol,
      sources: sources.get(block.id) ?? nothing,
      used: used.get(block.id) ?? none,
      probed: probes.flatMap(({ at }) => (at[0] === block.id ? [at[1]] : [])),
    });
    const at = moved.get(block.id) ?? geometry.at;
    const { width, height } = geometry.box;
    const isSelected = selected.has(block.id);
    const { label, line } = geometry.label;
    const ariaLabel = `${label}, ${spec.title}${line ? `, ${line}` : ''}`;
    if (
      was &&
      was.data === data &&
      was.selected === isSelected &&
      was.ariaLabel === ariaLabel &&
      was.position.x === at[0] &&
      was.position.y === at[1] &&
      was.width === width &&
      was.height === height
    ) {
      return [was];
    }
    return [
      {
        ...was,
        id: block.id,
        type: 'block',
        position: { x: at[0], y: at[1] },
        width,
        height,
        data,
        selected: isSelected,
        ariaLabel,
      },
    ];
  });
}

const nothing: Readonly<Record<string, string>> = {};
const none: readonly string[] = [];

function sameOr(was: BlockData | undefined, fresh: BlockData): BlockData {
  if (!was || was.block !== fresh.block || was.spec !== fresh.spec || was.symbol !== fresh.symbol) return fresh;
  const sources = sameRecord(was.sources, fresh.sources) ? was.sources : fresh.sources;
  const used = sameList(was.used, fresh.used) ? was.used : fresh.used;
  const probed = sameList(was.probed, fresh.probed) ? was.probed : fresh.probed;
  const same = sources === was.sources && used === was.used && probed === was.probed;
  return same ? was : { ...fresh, sources, used, probed };
}

function sameList(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((entry, i) => entry === b[i]);
}

function sameRecord(a: Readonly<Record<string, string>>, b: Readonly<Record<string, string>>): boolean {
  const keys = Object.keys(a);
  return keys.length === Object.keys(b).length && keys.every((key) => a[key] === b[key]);
}

function sourcesByBlock(patch: Patch, catalogue: Catalogue): Map<string, Record<string, string>> {
  const byId = new Map(patch.blocks.map((block) => [block.id, block]));
  const result = new Map<string, Record<string, string>>();
  for (const { from, to } of patch.cables) {
    const source = byId.get(from[0]);
    const output = source && catalogue.get(source.type)?.outputs.find((port) => port.id === from[1]);
    const inputs = result.get(to[0]) ?? {};
    inputs[to[1]] = source ? `${blockLabel(source, catalogue.get(source.type))}, ${output?.title ?? from[1]}` : placeName(from);
    result.set(to[0], inputs);
  }
  return result;
}

function outputsInUse(patch: Patch): Map<string, string[]> {
  const result = new Map<string, string[]>();
  for (const { from } of patch.cables) {
    const outputs = result.get(from[0]) ?? [];
    if (!outputs.includes(from[1])) outputs.push(from[1]);
    result.set(from[0], outputs);
  }
  return result;
}
