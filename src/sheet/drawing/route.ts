/**
 * Where cables run: orthogonal, on lanes one grid unit apart, round boxes and labels, out of outputs to the right and into
 * inputs from the left or from below. Cables of one output share a trunk. The result depends on the patch alone,
 * not on the order of its cables.
 */
import type { SignalKind } from '../../patch/blockSpec.ts';
import { type Cable, type Patch, placeName } from '../../patch/document.ts';
import { type BlockGeometry, GRID, type Point, type PortGeometry, portOf } from './geometry.ts';
import { createLanes, type Lanes, occupy, pointAt, release, reserveName, reserveStub, vertexAt } from './lanes.ts';
import { hopOrder } from './lineStyles.ts';
import { createSearch, DOWN, LEFT, RIGHT, type Search } from './search.ts';

/** How hard a way is looked for before a cable is drawn plainly; less hard while dragging, when a block may lie on another. */
const MOST_STATES = 200_000;
const MOST_STATES_DRAGGED = 40_000;
/** Patches of many hundred cables share this, so that the page does not stand still; each cable has at least the second figure. */
const MOST_IN_ALL = 8_000_000;
const LEAST_STATES = 4_000;
const MOST_LOOKED_AT_TWICE = 200;

/** A cable to be drawn: its two ends as they lie on the sketch. */
export interface CableEnds {
  /** The destination's name "block.port", which names the cable. */
  readonly key: string;
  /** The source's name "block.port". Cables of one source share a trunk. */
  readonly source: string;
  readonly kind: SignalKind;
  readonly from: PortGeometry;
  readonly to: PortGeometry;
}

export interface CableRoute {
  readonly key: string;
  readonly source: string;
  readonly kind: SignalKind;
  /** Corners from output to input, ends included. */
  readonly points: readonly Point[];
  /** Index in `points` from which this cable has a line of its own; before it runs along an earlier cable of the same output. */
  readonly ownFrom: number;
  /** Where this cable hops over another one. */
  readonly jumps: readonly Point[];
}

/**
 * The cables of a patch between blocks that have a geometry; others are left out.
 * @param kinds of signals by output name (`signalKinds`); left out: as the output's spec says
 */
export function cableEnds(
  patch: Pick<Patch, 'cables'>,
  blocks: ReadonlyMap<string, BlockGeometry>,
  kinds: ReadonlyMap<string, SignalKind> = new Map(),
): CableEnds[] {
  const ends = (cable: Cable): CableEnds[] => {
    const source = blocks.get(cable.from[0]);
    const target = blocks.get(cable.to[0]);
    const from = source && portOf(source, 'output', cable.from[1]);
    const to = target && portOf(target, 'input', cable.to[1]);
    return from && to
      ? [{ key: placeName(cable.to), source: placeName(cable.from), kind: kinds.get(placeName(cable.from)) ?? from.kind, from, to }]
      : [];
  };
  return patch.cables.flatMap(ends);
}

/** Routes all cables. */
export function routeCables(blocks: ReadonlyMap<string, BlockGeometry>, cables: readonly CableEnds[]): Map<string, CableRoute> {
  return rerouteCables(new Map(), blocks, cables, new Set(blocks.keys()));
}

/**
 * Routes only what a move of some blocks touches, for use while dragging: cables of the moved blocks, new cables, and cables that
 * would now pass through a moved block or its label. All others stay where they were.
 * @param before routes of the last call
 * @param moved ids of blocks that moved, grew or were added since then
 */
export function rerouteCables(
  before: ReadonlyMap<string, CableRoute>,
  blocks: ReadonlyMap<string, BlockGeometry>,
  cables: readonly CableEnds[],
  moved: ReadonlySet<string>,
): Map<string, CableRoute> {
  const lanes = createLanes(blocks.values());
  if (!lanes) return new Map(cables.map((cable) => [cable.key, route(cable, plainPath(cable))]));
  const ordered = inOrder(cables);
  const nets = numberNets(ordered);
  for (const cable of ordered) {
    reserveStub(lanes, cable.from, nets.get(cable.source) ?? 0);
    reserveStub(lanes, cable.to, nets.get(cable.source) ?? 0);
    for (const port of [cable.from, cable.to]) if (port.name) reserveName(lanes, port.name.rect);
  }
  const paths = new Map<string, readonly number[]>();
  const open: CableEnds[] = [];
  const boxes = [...moved].flatMap((id) => blocks.get(id) ?? []);
  for (const cable of ordered) {
    const old = before.get(cable.key);
    if (
      old &&
      old.source === cable.source &&
      samePoint(old.points[0], cable.from) &&
      samePoint(old.points.at(-1), cable.to) &&
      isClear(old, boxes)
    ) {
      const path = vertices(lanes, old.points);
      if (path) {
        paths.set(cable.key, path);
        occupy(lanes, path, nets.get(cable.source) ?? 0);
        continue;
      }
    }
    open.push(cable);
  }
  const whole = open.length === ordered.length;
  const most = Math.min(whole ? MOST_STATES : MOST_STATES_DRAGGED, Math.max(LEAST_STATES, MOST_IN_ALL / Math.max(1, open.length)));
  const work: Work = { lanes, search: createSearch(lanes, most), nets, paths, siblings: bySource(ordered) };
  for (const cable of open) lay(work, cable);
  // A second look: what was laid first did not know what came later. Not while dragging: the next step comes at once.
  if (whole && open.length <= MOST_LOOKED_AT_TWICE) for (const cable of open) if (conflicts(work, cable)) lay(work, cable);
  return finish(ordered, paths, lanes);
}

interface Work {
  readonly lanes: Lanes;
  readonly search: Search;
  readonly nets: ReadonlyMap<string, number>;
  readonly paths: Map<string, readonly number[]>;
  readonly siblings: ReadonlyMap<string, readonly CableEnds[]>;
}

function lay(work: Work, cable: CableEnds): void {
  const { lanes, search, nets, paths } = work;
  const net = nets.get(cable.source) ?? 0;
  const siblings = (work.siblings.get(cable.source) ?? []).filter((other) => other.key !== cable.key && paths.has(other.key));
  const old = paths.get(cable.key);
  if (old) {
    release(lanes, old, net);
    for (const other of siblings) occupy(lanes, paths.get(other.key) ?? [], net);
  }
  const goal = vertexAt(lanes, cable.from.x, cable.from.y);
  const tree = siblings.flatMap((other) => (paths.get(other.key) ?? []).slice(1, -1));
  const direction = cable.to.edge === 'bottom' ? DOWN : cable.to.edge === 'left' ? LEFT : RIGHT;
  const found = search.find(vertexAt(lanes, cable.to.x, cable.to.y), direction, net, goal, tree);
  if (!found) return;
  const join = found[0] ?? goal;
  const trunk = join === goal ? undefined : siblings.map((other) => paths.get(other.key) ?? []).find((path) => path.includes(join));
  const path = trunk ? [...trunk.slice(0, trunk.indexOf(join)), ...found] : found;
  paths.set(cable.key, path);
  occupy(lanes, path, net);
}

/** Does the cable touch or cross another net? */
function conflicts(work: Work, cable: CableEnds): boolean {
  const own = (work.nets.get(cable.source) ?? 0) + 1;
  const { across, down } = work.lanes;
  return (work.paths.get(cable.key) ?? []).some((v) => (across[v] !== 0 && across[v] !== own) || (down[v] !== 0 && down[v] !== own));
}

/** The main line first, then short before long: short cables have the least choice. */
function inOrder(cables: readonly CableEnds[]): CableEnds[] {
  const rank = (cable: CableEnds): number => (cable.kind === 'audio' ? 0 : 1);
  const length = (cable: CableEnds): number => Math.abs(cable.from.x - cable.to.x) + Math.abs(cable.from.y - cable.to.y);
  return [...cables].sort((a, b) => rank(a) - rank(b) || length(a) - length(b) || (a.key < b.key ? -1 : 1));
}

function bySource(cables: readonly CableEnds[]): Map<string, CableEnds[]> {
  const groups = new Map<string, CableEnds[]>();
  for (const cable of cables) {
    const group = groups.get(cable.source);
    if (group) group.push(cable);
    else groups.set(cable.source, [cable]);
  }
  return groups;
}

function numberNets(cables: readonly CableEnds[]): Map<string, number> {
  const nets = new Map<string, number>();
  for (const cable of cables) if (!nets.has(cable.source)) nets.set(cable.source, nets.size);
  return nets;
}

function samePoint(point: Point | undefined, port: PortGeometry): boolean {
  return point?.[0] === port.x && point?.[1] === port.y;
}

/** Does a route keep out of these blocks and their labels? Its own ends may touch their box's edge. */
function isClear(old: CableRoute, boxes: readonly BlockGeometry[]): boolean {
  return boxes.every(({ box, label }) =>
    [box, label].every((rect) =>
      old.points.every((b, k) => {
        const a = old.points[k - 1];
        if (!a) return true;
        const outside =
          Math.max(a[0], b[0]) <= rect.x ||
          Math.min(a[0], b[0]) >= rect.x + rect.width ||
          Math.max(a[1], b[1]) <= rect.y ||
          Math.min(a[1], b[1]) >= rect.y + rect.height;
        return outside;
      }),
    ),
  );
}

/** All vertices along corner points; undefined where a point lies outside the lattice. */
function vertices(lanes: Lanes, points: readonly Point[]): number[] | undefined {
  const path: number[] = [];
  for (const [x, y] of points) {
    const i = Math.round(x / GRID) - lanes.left;
    const j = Math.round(y / GRID) - lanes.top;
    if (i < 0 || j < 0 || i >= lanes.width || j >= lanes.height) return undefined;
    const to = j * lanes.width + i;
    let at = path.at(-1) ?? to;
    if (path.length === 0) path.push(at);
    const step = Math.abs(to - at) < lanes.width ? Math.sign(to - at) : Math.sign(to - at) * lanes.width;
    if (step !== 0 && (to - at) % step !== 0) return undefined;
    while (at !== to) {
      at += step;
      path.push(at);
    }
  }
  return path;
}

function finish(ordered: readonly CableEnds[], paths: ReadonlyMap<string, readonly number[]>, lanes: Lanes): Map<string, CableRoute> {
  const drawn = new Map<string, { cable: CableEnds; path: readonly number[]; own: number }>();
  const trunks = new Map<string, Set<string>>();
  // Longest common way first, so that what is shared belongs to the cable that is laid out first.
  for (const cable of ordered) {
    const path = paths.get(cable.key);
    if (!path) continue;
    const trunk = trunks.get(cable.source) ?? new Set<string>();
    trunks.set(cable.source, trunk);
    let own = 0;
    while (own < path.length - 1 && trunk.has(`${path[own]} ${path[own + 1]}`)) own++;
    for (let k = own; k < path.length - 1; k++) trunk.add(`${path[k]} ${path[k + 1]}`);
    drawn.set(cable.key, { cable, path, own });
  }
  const jumps = findJumps([...drawn.values()], lanes);
  const result = new Map<string, CableRoute>();
  for (const cable of ordered) {
    const line = drawn.get(cable.key);
    result.set(cable.key, line ? route(cable, cornersOf(line, lanes), jumps.get(cable.key)) : route(cable, plainPath(cable)));
  }
  return result;
}

/** Crossings of straight pieces of different sources. */
function findJumps(lines: readonly { cable: CableEnds; path: readonly number[]; own: number }[], lanes: Lanes): Map<string, Point[]> {
  const across = new Map<number, CableEnds>();
  const down = new Map<number, CableEnds>();
  for (const { cable, path, own } of lines) {
    for (let k = Math.max(1, own); k < path.length - 1; k++) {
      const v = path[k] ?? 0;
      const before = v - (path[k - 1] ?? 0);
      if ((path[k + 1] ?? 0) - v !== before) continue;
      (Math.abs(before) === 1 ? across : down).set(v, cable);
    }
  }
  const jumps = new Map<string, Point[]>();
  for (const [v, a] of across) {
    const b = down.get(v);
    if (!b || a.source === b.source) continue;
    const hops = hopOrder.indexOf(a.kind) >= hopOrder.indexOf(b.kind) ? a : b;
    jumps.set(hops.key, [...(jumps.get(hops.key) ?? []), pointAt(lanes, v)]);
  }
  return jumps;
}

interface Corners {
  readonly points: readonly Point[];
  readonly ownFrom: number;
}

/** Only the corners of a path, and the vertex where its own line begins. */
function cornersOf(line: { cable: CableEnds; path: readonly number[]; own: number }, lanes: Lanes): Corners {
  const { path, own, cable } = line;
  const points: Point[] = [];
  let ownFrom = 0;
  for (let k = 0; k < path.length; k++) {
    const v = path[k] ?? 0;
    const isCorner = k === 0 || k === path.length - 1 || v - (path[k - 1] ?? 0) !== (path[k + 1] ?? 0) - v;
    if (k === own) ownFrom = points.length;
    if (isCorner || k === own) points.push(pointAt(lanes, v));
  }
  return { points: onPorts(points, cable), ownFrom };
}

/** Blocks off the grid: the outermost pieces are shifted onto the exact ports, which keeps them straight. */
function onPorts(points: readonly Point[], cable: CableEnds): Point[] {
  const { from, to } = cable;
  const moved = points.map(([x, y]): [number, number] => [x, y]);
  const shift = (end: number, next: number, port: PortGeometry): void => {
    const tip = moved[end];
    const neighbour = moved[next];
    if (!tip || !neighbour || (tip[0] === port.x && tip[1] === port.y)) return;
    if (tip[1] === neighbour[1]) neighbour[1] = port.y;
    else neighbour[0] = port.x;
    moved[end] = [port.x, port.y];
  };
  const last = moved.length - 1;
  const straight = last === 1 && from.x !== to.x && from.y !== to.y;
  if (straight) {
    const middle = Math.round((from.x + to.x) / 2);
    return [
      [from.x, from.y],
      [middle, from.y],
      [middle, to.y],
      [to.x, to.y],
    ];
  }
  shift(0, 1, from);
  shift(last, last - 1, to);
  return moved;
}

function route(cable: CableEnds, corners: Corners, jumps: readonly Point[] = []): CableRoute {
  return { key: cable.key, source: cable.source, kind: cable.kind, points: corners.points, ownFrom: corners.ownFrom, jumps };
}

/** Out, over and in, whatever stands in the way: for a cable that has no free end, and while a new cable is being dragged. */
export function plainPath({ from, to }: { readonly from: PortGeometry; readonly to: Pick<PortGeometry, 'x' | 'y' | 'edge'> }): Corners {
  const stub = 2 * GRID;
  const right = from.x + stub;
  const points: Point[] = [[from.x, from.y]];
  if (to.edge === 'bottom') {
    const below = to.y + stub;
    if (from.y >= below && to.x >= right) points.push([to.x, from.y]);
    else points.push([right, from.y], [right, below], [to.x, below]);
  } else {
    const left = to.x - stub;
    const middle = Math.round((from.x + to.x) / 2 / GRID) * GRID;
    if (left >= right) {
      if (from.y !== to.y) points.push([middle, from.y], [middle, to.y]);
    } else {
      const half = Math.round((from.y + to.y) / 2 / GRID) * GRID;
      points.push([right, from.y], [right, half], [left, half], [left, to.y]);
    }
  }
  points.push([to.x, to.y]);
  return { points, ownFrom: 0 };
}
