/**
 * The cheapest way from an input port back to an output port, or to any vertex that the same output's other cables
 * already pass (A*, Hart, Nilsson and Raphael 1968, over vertex and direction, with a queue of cost buckets).
 * The search runs backwards, so that cables of one output share a trunk and branch as late as is cheap.
 */
import { COST, type Lanes } from './lanes.ts';

/** Directions: right, down, left, up. Opposites differ by 2. */
export const RIGHT = 0;
export const DOWN = 1;
export const LEFT = 2;

export interface Search {
  /**
   * The path from the goal to `start` as neighbouring vertices; undefined when there is none.
   * @param net own number: its vertices and stubs cost nothing extra
   * @param goal the vertex of the output port, which is reached moving left
   * @param tree vertices of the net's other cables, any of which is as good; may be empty
   */
  find(start: number, direction: number, net: number, goal: number, tree: readonly number[]): number[] | undefined;
}

/** Costs of one step differ by less than this, so buckets can be used again in a ring. */
const RING = 4096;
const FAR = 60_000;
const UNSEEN = 1 << 30;

/**
 * Work space for one lattice, reused from cable to cable.
 * @param most states looked at before the search gives up
 */
export function createSearch(lanes: Lanes, most: number): Search {
  const { width, height, extra, stub, across, down } = lanes;
  const count = width * height;
  const { best, done, cameFrom, inTree } = workspace(count);
  const columnOf = new Uint16Array(count);
  const rowOf = new Uint16Array(count);
  for (let j = 0, v = 0; j < height; j++) {
    for (let i = 0; i < width; i++, v++) {
      columnOf[v] = i;
      rowOf[v] = j;
    }
  }
  const move = Int32Array.of(1, width, -1, -width);
  // Buckets as linked lists, last in first out: entry -> state, entry -> next entry, bucket -> first entry.
  const first = new Int32Array(RING);
  let entryState = new Int32Array(4096);
  let entryNext = new Int32Array(4096);
  let entries = 0;
  let open = 0;

  function push(state: number, total: number): void {
    if (entries === entryState.length) {
      entryState = doubled(entryState);
      entryNext = doubled(entryNext);
    }
    entryState[entries] = state;
    entryNext[entries] = first[total & (RING - 1)] ?? -1;
    first[total & (RING - 1)] = entries++;
    open++;
  }

  /** The straight pieces of the tree as column and row ranges, four numbers each. */
  let pieces = new Int32Array(64);
  let pieceCount = 0;

  function cutTree(tree: readonly number[]): void {
    pieceCount = 0;
    for (let k = 0; k < tree.length; ) {
      const from = tree[k] ?? 0;
      const step = (tree[k + 1] ?? from) - from;
      let last = k;
      if (step === 1 || step === -1 || step === width || step === -width)
        while (last + 1 < tree.length && (tree[last + 1] ?? 0) - (tree[last] ?? 0) === step) last++;
      const to = tree[last] ?? from;
      if (4 * pieceCount === pieces.length) pieces = doubled(pieces);
      pieces[4 * pieceCount] = Math.min(columnOf[from] ?? 0, columnOf[to] ?? 0);
      pieces[4 * pieceCount + 1] = Math.max(columnOf[from] ?? 0, columnOf[to] ?? 0);
      pieces[4 * pieceCount + 2] = Math.min(rowOf[from] ?? 0, rowOf[to] ?? 0);
      pieces[4 * pieceCount + 3] = Math.max(rowOf[from] ?? 0, rowOf[to] ?? 0);
      pieceCount++;
      k = last + 1;
    }
  }

  /** Steps to the nearest vertex of the tree on an empty lattice. */
  function stepsToTree(i: number, j: number): number {
    let least = FAR;
    for (let k = 0; k < 4 * pieceCount; k += 4) {
      const left = pieces[k] ?? 0;
      const right = pieces[k + 1] ?? 0;
      const top = pieces[k + 2] ?? 0;
      const bottom = pieces[k + 3] ?? 0;
      const steps = (i < left ? left - i : i > right ? i - right : 0) + (j < top ? top - j : j > bottom ? j - bottom : 0);
      if (steps < least) least = steps;
    }
    return least;
  }

  function find(start: number, direction: number, net: number, goal: number, tree: readonly number[]): number[] | undefined {
    for (const v of tree) inTree[v] = 1;
    const path = seek(start, direction, net, goal, tree);
    // Only what was touched is cleared: the lattice is far larger than any search.
    for (const v of tree) inTree[v] = 0;
    for (let entry = 0; entry < entries; entry++) {
      const state = entryState[entry] ?? 0;
      best[state] = UNSEEN;
      done[state] = 0;
    }
    return path;
  }

  function seek(start: number, direction: number, net: number, goal: number, tree: readonly number[]): number[] | undefined {
    const own = net + 1;
    const joins = tree.length > 0;
    const goalColumn = columnOf[goal] ?? 0;
    const goalRow = rowOf[goal] ?? 0;
    if (joins) cutTree(tree);

    /** Steps and bends that are needed even on an empty lattice: never too many, so that the way found is the cheapest. */
    const atLeast = (v: number, d: number): number => {
      const i = columnOf[v] ?? 0;
      const j = rowOf[v] ?? 0;
      if (joins) return COST.step * stepsToTree(i, j);
      let bends = 2;
      if (d === LEFT) bends = j === goalRow && i >= goalColumn ? 0 : 2;
      else if (d !== RIGHT) bends = i > goalColumn && (j === goalRow || (d === DOWN) === j < goalRow) ? 1 : 3;
      return COST.step * (Math.abs(i - goalColumn) + Math.abs(j - goalRow)) + COST.bend * bends;
    };

    first.fill(-1);
    entries = 0;
    open = 0;
    const begin = start * 4 + direction;
    best[begin] = 0;
    cameFrom[begin] = -1;
    let total = atLeast(start, direction);
    push(begin, total);
    let looked = 0;
    while (open > 0) {
      const entry = first[total & (RING - 1)] ?? -1;
      if (entry < 0) {
        total++;
        continue;
      }
      first[total & (RING - 1)] = entryNext[entry] ?? -1;
      open--;
      const state = entryState[entry] ?? 0;
      if (done[state] === 1) continue;
      done[state] = 1;
      if (++looked > most) return undefined;
      const d = state & 3;
      const v = state >> 2;
      if (v !== start && (inTree[v] === 1 || (v === goal && d === LEFT))) return trace(state);
      const column = columnOf[v] ?? 0;
      const onAcross = across[v] ?? 0;
      const onDown = down[v] ?? 0;
      const otherAcross = onAcross !== 0 && onAcross !== own;
      const otherDown = onDown !== 0 && onDown !== own;
      const horizontal = (d & 1) === 0;
      const straight = (horizontal ? otherAcross : otherDown) ? COST.overlap : (horizontal ? otherDown : otherAcross) ? COST.cross : 0;
      const bend = COST.bend + (otherAcross || otherDown ? COST.overlap : 0) + ((extra[v] ?? 0) >= COST.near ? COST.earlyBend : 0);
      for (let turn = 0; turn < 3; turn++) {
        // Straight on is pushed last and so tried first among equals: bends gather near the output.
        const nd = turn === 0 ? (d + 1) & 3 : turn === 1 ? (d + 3) & 3 : d;
        if (v === start && nd !== d) continue;
        if ((nd === LEFT && column === 0) || (nd === RIGHT && column === width - 1)) continue;
        const w = v + (move[nd] ?? 0);
        if (w < 0 || w >= count) continue;
        const next = w * 4 + nd;
        if (done[next] === 1) continue;
        let cost = (best[state] ?? 0) + COST.step + (nd !== d ? bend : v === start ? 0 : straight);
        if (w !== goal) {
          const taken = stub[w] ?? 0;
          cost += (extra[w] ?? 0) + (taken !== 0 && taken !== own ? COST.stub : 0);
        }
        if ((best[next] ?? 0) <= cost) continue;
        best[next] = cost;
        cameFrom[next] = state;
        push(next, cost + atLeast(w, nd));
      }
    }
    return undefined;
  }

  function trace(last: number): number[] {
    const path: number[] = [];
    for (let state = last; state >= 0; state = cameFrom[state] ?? -1) path.push(state >> 2);
    return path;
  }

  return { find };
}

interface Workspace {
  readonly best: Int32Array;
  readonly done: Uint8Array;
  readonly cameFrom: Int32Array;
  readonly inTree: Uint8Array;
}

let spare: Workspace | undefined;

/** Scratch memory, kept from call to call because a drag asks for it with every frame. Each search leaves it clear. */
function workspace(count: number): Workspace {
  if (!spare || spare.inTree.length < count || spare.inTree.length > 16 * count + 100_000) {
    spare = {
      best: new Int32Array(4 * count).fill(UNSEEN),
      done: new Uint8Array(4 * count),
      cameFrom: new Int32Array(4 * count),
      inTree: new Uint8Array(count),
    };
  }
  return spare;
}

function doubled(list: Int32Array<ArrayBuffer>): Int32Array<ArrayBuffer> {
  const longer = new Int32Array(2 * list.length);
  longer.set(list);
  return longer;
}
