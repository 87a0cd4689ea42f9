/**
 * The lattice on which cables run: one vertex per grid point, with what it costs to pass there.
 * Lanes are one grid unit apart, so two cables that run side by side never touch.
 */
import { type BlockGeometry, bounds, GRID, type PortGeometry, type Rect } from './geometry.ts';

/** Costs, two per grid step. Boxes and labels are dear rather than forbidden: a hemmed-in cable still finds a way. */
export const COST = {
  step: 2,
  near: 2,
  nextNear: 1,
  bend: 10,
  earlyBend: 6,
  cross: 14,
  stub: 14,
  name: 16,
  label: 80,
  overlap: 260,
  box: 300,
} as const;

/** Room around all blocks for cables that run round the outside, in grid steps. */
const MARGIN = 14;
/** Patches strewn wider than this are drawn with plain cables that avoid nothing. */
const MOST_VERTICES = 2_000_000;
/** Clear of the letters by a little. */
const LABEL_CLEARANCE = 3;

export interface Lanes {
  readonly width: number;
  readonly height: number;
  /** Grid column and row of vertex 0. */
  readonly left: number;
  readonly top: number;
  /** Extra cost of standing on a vertex. */
  readonly extra: Uint16Array;
  /** The net whose port's stub takes this vertex, plus one; 0 if none. */
  readonly stub: Int32Array;
  /** The net that passes a vertex horizontally or vertically, plus one; a corner does both. */
  readonly across: Int32Array;
  readonly down: Int32Array;
}

const cell = (value: number): number => Math.round(value / GRID);

/** The lattice over all blocks, free of cables; undefined when the patch is strewn too widely. */
export function createLanes(blocks: Iterable<BlockGeometry>): Lanes | undefined {
  const all = [...blocks];
  const area = bounds(all.flatMap((block) => [block.box, block.label]));
  if (!area) return undefined;
  const left = cell(area.x) - MARGIN;
  const top = cell(area.y) - MARGIN;
  const width = cell(area.x + area.width) + MARGIN - left + 1;
  const height = cell(area.y + area.height) + MARGIN - top + 1;
  if (!(width * height <= MOST_VERTICES)) return undefined;
  const count = width * height;
  const lanes: Lanes = {
    width,
    height,
    left,
    top,
    extra: new Uint16Array(count),
    stub: new Int32Array(count),
    across: new Int32Array(count),
    down: new Int32Array(count),
  };
  for (const block of all) {
    raise(lanes, grown(block.box, 2 * GRID), COST.nextNear);
    raise(lanes, grown(block.box, GRID), COST.near);
  }
  for (const block of all) raise(lanes, grown(block.label, LABEL_CLEARANCE), COST.label);
  for (const block of all) raise(lanes, block.box, COST.box);
  return lanes;
}

/** Keeps cables off a port's name, if there is another way. */
export function reserveName(lanes: Lanes, rect: Rect): void {
  raise(lanes, rect, COST.name);
}

function grown(rect: Rect, by: number): Rect {
  return { x: rect.x - by, y: rect.y - by, width: rect.width + 2 * by, height: rect.height + 2 * by };
}

function raise(lanes: Lanes, rect: Rect, cost: number): void {
  const { width, height, left, top, extra } = lanes;
  const i0 = Math.max(0, Math.ceil(rect.x / GRID - 1e-6) - left);
  const i1 = Math.min(width - 1, Math.floor((rect.x + rect.width) / GRID + 1e-6) - left);
  const j0 = Math.max(0, Math.ceil(rect.y / GRID - 1e-6) - top);
  const j1 = Math.min(height - 1, Math.floor((rect.y + rect.height) / GRID + 1e-6) - top);
  for (let j = j0; j <= j1; j++) {
    for (let i = i0; i <= i1; i++) {
      const v = j * width + i;
      if ((extra[v] ?? 0) < cost) extra[v] = cost;
    }
  }
}

export function vertexAt(lanes: Lanes, x: number, y: number): number {
  return (cell(y) - lanes.top) * lanes.width + cell(x) - lanes.left;
}

export function pointAt(lanes: Lanes, vertex: number): readonly [number, number] {
  return [((vertex % lanes.width) + lanes.left) * GRID, (Math.floor(vertex / lanes.width) + lanes.top) * GRID];
}

/** Keeps the first two steps before a port free for its own net. */
export function reserveStub(lanes: Lanes, port: PortGeometry, net: number): void {
  for (const n of [1, 2]) {
    const v = vertexAt(lanes, port.x + n * GRID * port.out[0], port.y + n * GRID * port.out[1]);
    if (v >= 0 && v < lanes.stub.length) lanes.stub[v] = net + 1;
  }
}

/** Marks the vertices of a path (neighbouring vertices, end to end) as taken by a net. */
export function occupy(lanes: Lanes, path: readonly number[], net: number): void {
  for (let k = 0; k < path.length; k++) {
    const v = path[k] ?? 0;
    const before = path[k - 1];
    const after = path[k + 1];
    if (isAcross(before, v) || isAcross(after, v)) lanes.across[v] = net + 1;
    if (isDown(before, v) || isDown(after, v)) lanes.down[v] = net + 1;
  }
}

export function release(lanes: Lanes, path: readonly number[], net: number): void {
  for (const v of path) {
    if (lanes.across[v] === net + 1) lanes.across[v] = 0;
    if (lanes.down[v] === net + 1) lanes.down[v] = 0;
  }
}

const isAcross = (a: number | undefined, b: number): boolean => a !== undefined && Math.abs(a - b) === 1;
const isDown = (a: number | undefined, b: number): boolean => a !== undefined && Math.abs(a - b) > 1;
