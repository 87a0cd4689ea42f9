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
export const UP = 3;

export interface Search {
  /**
   * The path from the goal to `start` as neighbouring vertices; undefined when there is none.
   * @param net own number: its vertices and stubs cost nothing extra
   * @param goal the vertex of the output port, which is reached moving left
   * @param tree vertices of the net's other cables, any of which is as good; may be empty
   */
  find(start: number, direction: number, net: number, goal: number, tree: readonly number[]): number[] | undefined;
}

/**
 * Work space for one lattice, reused from cable to cable.
 * @param most states looked at before the search gives up
 */
export function createSearch(lanes: Lanes, most: number): Search {
  const { width, height, extra, stub, across, down } = lanes;
  const states = width * height * 4;
  const cost = new Int32Array(states);
  const seen = new Int32Array(states);
  const done = new Int32Array(states);
  const cameFrom = new Int32Array(states);
  const inTree = new Int32Array(width * height);
  const toTree = new Uint16Array(width * height);
  const move = Int32Array.of(1, width, -1, -width);
  let round = 0;

  /** Steps from every vertex to the nearest one of the tree on an empty lattice: a distance transform in two sweeps (Rosenfeld and Pfaltz 1966). */
  function measure(tree: readonly number[]): void {
    toTree.fill(60000);
    for (const v of tree) toTree[v] = 0;
    for (let v = 1; v < toTree.length; v++) {
      const near = Math.min(v % width === 0 ? 60000 : (toTree[v - 1] ?? 0), v < width ? 60000 : (toTree[v - width] ?? 0)) + 1;
      if (near < (toTree[v] ?? 0)) toTree[v] = near;
    }
    for (let v = toTree.length - 2; v >= 0; v--) {
      const near =
        Math.min((v + 1) % width === 0 ? 60000 : (toTree[v + 1] ?? 0), v + width >= toTree.length ? 60000 : (toTree[v + width] ?? 0)) + 1;
      if (near < (toTree[v] ?? 0)) toTree[v] = near;
    }
  }

  function find(start: number, direction: number, net: number, goal: number, tree: readonly number[]): number[] | undefined {
    round++;
    const own = net + 1;
    const joins = tree.length > 0;
    const gi = goal % width;
    const gj = (goal - gi) / width;
    for (const v of tree) inTree[v] = round;
    if (joins) measure(tree);

    /** Steps and bends that are needed even on an empty lattice: never too many, so that the way found is the cheapest. */
    const atLeast = (v: number, d: number): number => {
      if (joins) return COST.step * (toTree[v] ?? 0);
      const i = v % width;
      const j = (v - i) / width;
      let bends = 2;
      if (d === LEFT) bends = j === gj && i >= gi ? 0 : 2;
      else if (d !== RIGHT) bends = i > gi && (j === gj || (d === DOWN) === j < gj) ? 1 : 3;
      return COST.step * (Math.abs(i - gi) + Math.abs(j - gj)) + COST.bend * bends;
    };

    const buckets: number[][] = [];
    const push = (state: number, total: number): void => {
      const bucket = buckets[total];
      if (bucket) bucket.push(state);
      else buckets[total] = [state];
    };
    const first = start * 4 + direction;
    cost[first] = 0;
    seen[first] = round;
    cameFrom[first] = -1;
    push(first, atLeast(start, direction));

    let looked = 0;
    for (let total = 0; total < buckets.length; total++) {
      const bucket = buckets[total];
      while (bucket && bucket.length > 0) {
        const state = bucket.pop() ?? 0;
        if (done[state] === round) continue;
        done[state] = round;
        if (++looked > most) return undefined;
        const d = state & 3;
        const v = state >> 2;
        if (v !== start && (inTree[v] === round || (v === goal && d === LEFT))) return trace(state);
        const i = v % width;
        const onAcross = across[v] ?? 0;
        const onDown = down[v] ?? 0;
        const otherAcross = onAcross !== 0 && onAcross !== own;
        const otherDown = onDown !== 0 && onDown !== own;
        const horizontal = d === LEFT || d === RIGHT;
        const touch = otherAcross || otherDown ? COST.overlap : 0;
        const straight = (horizontal ? otherAcross : otherDown) ? COST.overlap : (horizontal ? otherDown : otherAcross) ? COST.cross : 0;
        const early = (extra[v] ?? 0) >= COST.near ? COST.earlyBend : 0;
        for (let turn = 0; turn < 3; turn++) {
          // Straight on is pushed last and so tried first among equals: bends gather near the output.
          const nd = turn === 0 ? (d + 1) & 3 : turn === 1 ? (d + 3) & 3 : d;
          if (v === start && nd !== d) continue;
          if ((nd === LEFT && i === 0) || (nd === RIGHT && i === width - 1)) continue;
          const w = v + (move[nd] ?? 0);
          if (w < 0 || w >= width * height) continue;
          const next = w * 4 + nd;
          if (done[next] === round) continue;
          let c = (cost[state] ?? 0) + COST.step + (nd === d ? (v === start ? 0 : straight) : COST.bend + touch + early);
          if (w !== goal) {
            c += extra[w] ?? 0;
            const taken = stub[w] ?? 0;
            if (taken !== 0 && taken !== own) c += COST.stub;
          }
          if (seen[next] === round && (cost[next] ?? 0) <= c) continue;
          seen[next] = round;
          cost[next] = c;
          cameFrom[next] = state;
          push(next, c + atLeast(w, nd));
        }
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
