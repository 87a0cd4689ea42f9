/** The patch as a graph: blocks are its nodes, cables its edges. What reaches what, and what runs in a circle. */
import type { Patch } from './document.ts';

export interface Graph {
  /** Block ids in the order of the patch. */
  readonly nodes: readonly string[];
  /** Blocks that a block feeds, each once. */
  readonly next: ReadonlyMap<string, readonly string[]>;
  /** Blocks that feed a block, each once. */
  readonly previous: ReadonlyMap<string, readonly string[]>;
}

/** Neighbours by block; cables whose ends are missing are passed over. */
export function createGraph(patch: Pick<Patch, 'blocks' | 'cables'>): Graph {
  const nodes = patch.blocks.map((block) => block.id);
  const next = new Map(nodes.map((id) => [id, new Set<string>()]));
  const previous = new Map(nodes.map((id) => [id, new Set<string>()]));
  for (const { from, to } of patch.cables) {
    const [ahead, behind] = [next.get(from[0]), previous.get(to[0])];
    if (!ahead || !behind) continue;
    ahead.add(to[0]);
    behind.add(from[0]);
  }
  return { nodes, next: listed(next), previous: listed(previous) };
}

function listed(sets: ReadonlyMap<string, ReadonlySet<string>>): ReadonlyMap<string, readonly string[]> {
  return new Map([...sets].map(([id, set]) => [id, [...set]]));
}

/** The starting blocks and all that their signals reach. */
export function reachableFrom(graph: Graph, starts: Iterable<string>): ReadonlySet<string> {
  return walk(graph.next, starts);
}

/** The ending blocks and all whose signals reach them. */
export function reachableTo(graph: Graph, ends: Iterable<string>): ReadonlySet<string> {
  return walk(graph.previous, ends);
}

function walk(neighbours: ReadonlyMap<string, readonly string[]>, starts: Iterable<string>): ReadonlySet<string> {
  const seen = new Set<string>();
  const waiting = [...starts].filter((id) => neighbours.has(id));
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    if (seen.has(id)) continue;
    seen.add(id);
    waiting.push(...(neighbours.get(id) ?? []));
  }
  return seen;
}

/**
 * Strongly connected groups: blocks that reach each other, and single blocks. A group comes after all groups it feeds.
 * Tarjan, "Depth-first search and linear graph algorithms" (1972), without recursion.
 */
export function stronglyConnected({ nodes, next }: Pick<Graph, 'nodes' | 'next'>): readonly (readonly string[])[] {
  const index = new Map<string, number>();
  const low = new Map<string, number>();
  const open: string[] = [];
  const isOpen = new Set<string>();
  const found: string[][] = [];
  for (const root of nodes) {
    if (index.has(root)) continue;
    const path = [enter(root)];
    for (let top = path.at(-1); top; top = path.at(-1)) {
      const { node, rest } = top;
      const child = rest.pop();
      if (child === undefined) {
        path.pop();
        const above = path.at(-1);
        if (above) lower(above.node, low.get(node));
        if (low.get(node) === index.get(node)) close(node);
      } else if (!index.has(child)) {
        path.push(enter(child));
      } else if (isOpen.has(child)) {
        lower(node, index.get(child));
      }
    }
  }
  return found;

  function enter(node: string): { readonly node: string; readonly rest: string[] } {
    index.set(node, index.size);
    low.set(node, index.size - 1);
    open.push(node);
    isOpen.add(node);
    return { node, rest: [...(next.get(node) ?? [])].reverse() };
  }

  function lower(node: string, to = 0): void {
    low.set(node, Math.min(low.get(node) ?? to, to));
  }

  /** Everything opened since the group's first node belongs to it. */
  function close(first: string): void {
    const group = open.splice(open.lastIndexOf(first));
    for (const node of group) isOpen.delete(node);
    found.push(group);
  }
}

/** Groups that feed back: of several blocks, or of one with a cable from itself to itself. */
export function loops(graph: Graph): readonly (readonly string[])[] {
  return stronglyConnected(graph).filter((group) => group.length > 1 || group.some((id) => graph.next.get(id)?.includes(id)));
}
