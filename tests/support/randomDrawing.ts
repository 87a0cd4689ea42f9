/** Random drawings for the router: made-up blocks on the grid that do not overlap, and random cables between them. */
import { type BlockSpec, createCatalogue, type SignalKind } from '../../src/patch/blockSpec.ts';
import type { Block, Cable, Patch } from '../../src/patch/document.ts';
import type { BlockSymbol } from '../../src/patch/symbol.ts';
import { type BlockGeometry, blockGeometry, patchGeometry } from '../../src/sheet/drawing/geometry.ts';

const circle: BlockSymbol = { width: 48, height: 48, outline: 'M 0.5 0 A 0.5 0.5 0 0 1 0.5 1 A 0.5 0.5 0 0 1 0.5 0 Z', marks: [] };
const box: BlockSymbol = { width: 64, height: 48, outline: 'M 0 0 L 1 0 L 1 1 L 0 1 Z', marks: [] };
const triangle: BlockSymbol = { width: 48, height: 48, outline: 'M 0 0 L 1 0.5 L 0 1 Z', marks: [] };

export function madeUpSpec(type: string, inputs: readonly SignalKind[], outputs: readonly SignalKind[]): BlockSpec {
  return {
    type,
    group: 'shape',
    title: type,
    say: '',
    part: { one: type, many: `${type}s` },
    stem: type,
    inputs: inputs.map((kind, i) => ({ id: `in${i + 1}`, title: `In ${i + 1}`, kind })),
    outputs: outputs.map((kind, i) => ({ id: `out${i + 1}`, title: `Out ${i + 1}`, kind })),
    settings: [],
    keySettings: [],
  };
}

const kinds: readonly (readonly [BlockSpec, BlockSymbol])[] = [
  [madeUpSpec('voice', ['pitch', 'pitch', 'control', 'control', 'audio'], ['audio', 'audio', 'audio', 'audio']), circle],
  [madeUpSpec('sum', ['audio', 'audio', 'audio', 'audio', 'audio', 'audio'], ['audio', 'audio']), circle],
  [madeUpSpec('gain', ['audio', 'control'], ['audio']), triangle],
  [madeUpSpec('shape', ['gate', 'gate', 'control', 'control'], ['control', 'control', 'gate']), box],
  [madeUpSpec('row', ['gate', 'gate', 'pitch'], ['pitch', 'gate', 'gate', 'control']), box],
  [madeUpSpec('pulse', ['gate', 'gate'], ['gate', 'gate', 'gate', 'gate', 'gate']), box],
];

export const madeUpCatalogue = createCatalogue(kinds.map(([spec]) => spec));
export const madeUpSymbols: Readonly<Record<string, BlockSymbol>> = Object.fromEntries(kinds.map(([spec, symbol]) => [spec.type, symbol]));

/** Numbers in 0..1 from a seed (a linear congruential generator: Numerical Recipes, 1992, chapter 7.1). */
export function numbersFrom(seed: number): () => number {
  let state = (seed * 2654435761) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

export interface RandomDrawing {
  readonly patch: Patch;
  readonly blocks: Map<string, BlockGeometry>;
  readonly geometryOf: (block: Block) => BlockGeometry;
}

export function lookUp(block: Block) {
  const known = kinds.find(([spec]) => spec.type === block.type);
  return known && { spec: known[0], symbol: known[1], face: { label: block.label ?? block.id, line: '110 Hz saw' } };
}

/** `blockCount` blocks in jittered columns and up to `cableCount` cables. */
export function randomDrawing(seed: number, blockCount: number, cableCount: number): RandomDrawing {
  const random = numbersFrom(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const columns = Math.ceil(Math.sqrt(blockCount * 1.6));
  const blocks: Block[] = Array.from({ length: blockCount }, (_, i) => ({
    id: `b${i}`,
    type: pick(kinds)[0].type,
    at: [144 * (i % columns) + 8 * Math.floor(random() * 4), 176 * Math.floor(i / columns) + 8 * Math.floor(random() * 5)],
  }));
  const cables: Cable[] = [];
  const taken = new Set<string>();
  const specOf = (block: Block): BlockSpec => lookUp(block)?.spec ?? kinds[0]![0];
  for (let n = 0; n < cableCount * 4 && cables.length < cableCount; n++) {
    const i = Math.floor(random() * blockCount);
    const source = blocks[i];
    // Mostly to a near neighbour, as in real patches, sometimes anywhere, also back.
    const target = random() < 0.7 ? blocks[(i + 1 + Math.floor(random() * 3)) % blockCount] : pick(blocks);
    if (!source || !target) continue;
    const to = pick(specOf(target).inputs).id;
    if (taken.has(`${target.id}.${to}`)) continue;
    taken.add(`${target.id}.${to}`);
    cables.push({ from: [source.id, pick(specOf(source).outputs).id], to: [target.id, to] });
  }
  const patch = { blocks, cables };
  const geometryOf = (block: Block): BlockGeometry => {
    const known = lookUp(block);
    if (!known) throw new Error(`no such made-up block: ${block.type}`);
    return blockGeometry(known.spec, known.symbol, block.at ?? [0, 0], known.face);
  };
  return { patch, blocks: patchGeometry(blocks, lookUp), geometryOf };
}
