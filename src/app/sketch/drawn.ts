/**
 * The drawing of the open patch: geometry of every block and the way of every cable, kept up to date with the document and
 * with what a pointer is dragging. Objects that did not change keep their identity, so that only what moved is drawn again.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { BlockSpec, Catalogue } from '../../patch/blockSpec.ts';
import type { Block, Patch } from '../../patch/document.ts';
import type { BlockSymbol } from '../../patch/symbol.ts';
import { faceOf } from '../../sheet/drawing/face.ts';
import { type BlockFace, type BlockGeometry, blockGeometry, type Point, patchGeometry } from '../../sheet/drawing/geometry.ts';
import { signalKinds } from '../../sheet/drawing/kinds.ts';
import { type CableEnds, type CableRoute, cableEnds, plainPath, rerouteCables, routeCables } from '../../sheet/drawing/route.ts';
import { CORNER_RADIUS, svgPath } from '../../sheet/drawing/svgPath.ts';
import { delayedCables } from '../../sheet/drawing/toSvg.ts';

/** A cable's way with the line that is drawn for it: the part that it does not share, and its leads to the symbols. */
export interface DrawnCable extends CableRoute {
  readonly line: string;
}

export interface DrawnState {
  readonly blocks: ReadonlyMap<string, BlockGeometry>;
  /** By the name of the input that the cable enters ("block.port"). */
  readonly routes: ReadonlyMap<string, DrawnCable>;
  /** Cables that arrive one frame late, because they close a loop. */
  readonly delayed: ReadonlySet<string>;
}

export interface DrawnStore extends StoreApi<DrawnState> {
  /** Draws the patch, with some blocks at other places as long as they are dragged. */
  show(patch: Patch, moved: ReadonlyMap<string, Point>): void;
  /** Draws what `show` was asked for since, at the next frame of the screen: pointers move more often than that. */
  showSoon(patch: Patch, moved: ReadonlyMap<string, Point>): void;
}

interface Known {
  readonly spec: BlockSpec;
  readonly symbol: BlockSymbol;
  readonly face: BlockFace;
}

export function createDrawn(catalogue: Catalogue, symbols: Readonly<Record<string, BlockSymbol>>): DrawnStore {
  const store = createStore<DrawnState>()(() => ({ blocks: new Map(), routes: new Map(), delayed: new Set() }));
  const faces = new WeakMap<Block, BlockFace>();
  const geometries = new WeakMap<Block, BlockGeometry>();
  let shown: Patch | undefined;
  let moving = false;
  /** Milliseconds that finding ways took the last time while something was dragged. */
  let cost = 0;
  let due: (() => void) | undefined;

  function lookUp(block: Block): Known | undefined {
    const spec = catalogue.get(block.type);
    const symbol = symbols[block.type];
    if (!spec || !symbol) return undefined;
    const face = faces.get(block) ?? faceOf(block, spec);
    faces.set(block, face);
    return { spec, symbol, face };
  }

  function geometryOf(patch: Patch, moved: ReadonlyMap<string, Point>): Map<string, BlockGeometry> {
    if (patch.blocks.some((block) => !block.at && !moved.has(block.id))) {
      return patchGeometry(
        patch.blocks.map((block) => withPlace(block, moved.get(block.id))),
        lookUp,
      );
    }
    const result = new Map<string, BlockGeometry>();
    for (const block of patch.blocks) {
      const at = moved.get(block.id);
      const before = at ? store.getState().blocks.get(block.id) : geometries.get(block);
      const known = lookUp(block);
      if (!known) continue;
      const fits = before && (!at || (before.at[0] === at[0] && before.at[1] === at[1]));
      const geometry = fits ? before : blockGeometry(known.spec, known.symbol, at ?? block.at ?? [0, 0], known.face);
      if (!at) geometries.set(block, geometry);
      result.set(block.id, geometry);
    }
    return result;
  }

  function show(patch: Patch, moved: ReadonlyMap<string, Point>): void {
    const before = store.getState();
    const blocks = geometryOf(patch, moved);
    const sameCables = shown?.cables === patch.cables;
    const wasMoving = moving;
    shown = patch;
    moving = moved.size > 0;
    const redrawn = [...blocks].filter(([id, geometry]) => before.blocks.get(id) !== geometry);
    if (redrawn.length === 0 && blocks.size === before.blocks.size && sameCables && moving === wasMoving) return;
    const placed = redrawn.filter(([id, geometry]) => !sameBody(before.blocks.get(id), geometry)).map(([id]) => id);
    // Only a label differs, as while a slider is dragged: the cables stay where they are.
    if (placed.length === 0 && blocks.size === before.blocks.size && sameCables && moving === wasMoving) {
      store.setState({ blocks });
      return;
    }
    const ends = cableEnds(patch, blocks, signalKinds(patch, catalogue));
    // While something is dragged only its own cables find new ways; when it is put down, all look for the best one.
    const routes = moving ? dragRoutes(before.routes, blocks, ends, new Set(placed)) : routeCables(blocks, ends);
    store.setState({
      blocks,
      routes: drawCables(before.routes, routes, ends),
      delayed: sameCables ? before.delayed : delayedCables(patch),
    });
  }

  /** In a large drawing the cables of what is dragged run plainly, so that it keeps up with the hand. */
  function dragRoutes(
    before: ReadonlyMap<string, DrawnCable>,
    blocks: ReadonlyMap<string, BlockGeometry>,
    ends: readonly CableEnds[],
    placed: ReadonlySet<string>,
  ): ReadonlyMap<string, CableRoute> {
    if (cost > MOST_COST) {
      cost *= FORGET;
      return new Map(ends.map((cable) => [cable.key, stays(before.get(cable.key), cable) ?? plainRoute(cable)]));
    }
    const start = performance.now();
    const routes = rerouteCables(before, blocks, ends, placed);
    cost = performance.now() - start;
    return routes;
  }

  function showSoon(patch: Patch, moved: ReadonlyMap<string, Point>): void {
    if (!due) requestAnimationFrame(() => due?.());
    due = () => {
      due = undefined;
      show(patch, moved);
    };
  }

  return Object.assign(store, {
    show(patch: Patch, moved: ReadonlyMap<string, Point>) {
      due = undefined;
      show(patch, moved);
    },
    showSoon,
  });
}

/** More than this, in milliseconds, and a drag would stutter. */
const MOST_COST = 10;
/** A slow moment is forgotten after some frames, and ways are looked for again. */
const FORGET = 0.97;

function stays(old: DrawnCable | undefined, { source, from, to }: CableEnds): DrawnCable | undefined {
  const [first, last] = [old?.points[0], old?.points.at(-1)];
  const same = old?.source === source && first?.[0] === from.x && first[1] === from.y && last?.[0] === to.x && last[1] === to.y;
  return same ? old : undefined;
}

function plainRoute(cable: CableEnds): CableRoute {
  return { key: cable.key, source: cable.source, kind: cable.kind, ...plainPath(cable), jumps: [] };
}

function withPlace(block: Block, at: Point | undefined): Block {
  return at ? { ...block, at } : block;
}

function sameBody(a: BlockGeometry | undefined, b: BlockGeometry): boolean {
  return a !== undefined && a.at[0] === b.at[0] && a.at[1] === b.at[1] && a.box.width === b.box.width && a.box.height === b.box.height;
}

function drawCables(
  before: ReadonlyMap<string, DrawnCable>,
  routes: ReadonlyMap<string, CableRoute>,
  ends: readonly CableEnds[],
): Map<string, DrawnCable> {
  const result = new Map<string, DrawnCable>();
  for (const { key, from, to } of ends) {
    const route = routes.get(key);
    if (!route) continue;
    const points = [...(route.ownFrom === 0 ? [from.lead] : []), ...route.points.slice(route.ownFrom), to.lead];
    const line = svgPath(points, CORNER_RADIUS, route.jumps);
    const old = before.get(key);
    result.set(key, old && sameCable(old, route, line) ? old : { ...route, line });
  }
  return result;
}

function sameCable(a: DrawnCable, b: CableRoute, line: string): boolean {
  return a.source === b.source && a.kind === b.kind && a.ownFrom === b.ownFrom && a.line === line && samePoints(a.points, b.points);
}

function samePoints(a: readonly Point[], b: readonly Point[]): boolean {
  return a.length === b.length && a.every((point, i) => point[0] === b[i]?.[0] && point[1] === b[i]?.[1]);
}
