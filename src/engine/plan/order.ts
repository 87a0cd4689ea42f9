/**
 * In which order blocks run, and which cables of a loop carry the one frame of delay.
 *
 * The rule, which depends on ids and cables alone, never on the order in the file or on positions:
 * 1. Blocks on a common cycle form a loop; loops and single blocks run in the order of the signal,
 *    and where that leaves a choice, the smallest id first.
 * 2. In a loop, sound enters where a cable comes in from outside it. Of those blocks (of all, where there is none)
 *    the one with the smallest id opens the loop: every cable from inside the loop into it is delayed by one frame.
 * 3. What is still a cycle after that is opened the same way.
 * A simple ring therefore has exactly one delayed cable.
 */
import { stronglyConnected } from '../../patch/reach.ts';

export interface Edge {
  /** Name of the edge: the cable's destination, "block.port". */
  readonly name: string;
  readonly from: string;
  readonly to: string;
}

/** A block that runs over whole ranges, or a loop whose blocks run frame by frame. */
export type Step = { readonly block: string } | { readonly loop: readonly string[] };

export interface Order {
  readonly steps: readonly Step[];
  /** Names of the edges that are read one frame late. */
  readonly delayed: ReadonlySet<string>;
}

const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Strongly connected groups over the edges that stay among the nodes; members in order of their ids. */
function groups(nodes: readonly string[], edges: readonly Edge[]): string[][] {
  const next = new Map<string, string[]>(nodes.map((node) => [node, []]));
  for (const edge of edges) if (next.has(edge.to)) next.get(edge.from)?.push(edge.to);
  return stronglyConnected({ nodes, next }).map((group) => [...group].sort(byText));
}

/** Names of the edges that must be delayed so that no cycle is left. */
function delayedEdges(nodes: readonly string[], edges: readonly Edge[], all: readonly Edge[]): string[] {
  const delayed: string[] = [];
  for (const group of groups(nodes, edges)) {
    const members = new Set(group);
    const inside = edges.filter((edge) => members.has(edge.from) && members.has(edge.to));
    if (inside.length === 0) continue;
    const fed = group.filter((id) => all.some((edge) => edge.to === id && !members.has(edge.from)));
    const entry = (fed.length > 0 ? fed : group)[0] as string;
    delayed.push(...inside.filter((edge) => edge.to === entry).map((edge) => edge.name));
    delayed.push(
      ...delayedEdges(
        group,
        inside.filter((edge) => edge.to !== entry),
        all,
      ),
    );
  }
  return delayed;
}

/** Nodes along the edges, the smallest name first where there is a choice. The edges must hold no cycle. */
function along(nodes: readonly string[], edges: readonly Edge[]): string[] {
  const waiting = new Map<string, number>(nodes.map((node) => [node, 0]));
  const next = new Map<string, string[]>(nodes.map((node) => [node, []]));
  for (const edge of edges) {
    waiting.set(edge.to, (waiting.get(edge.to) as number) + 1);
    next.get(edge.from)?.push(edge.to);
  }
  const ready = nodes.filter((node) => waiting.get(node) === 0).sort(byText);
  const order: string[] = [];
  while (ready.length > 0) {
    const node = ready.shift() as string;
    order.push(node);
    for (const to of next.get(node) as string[]) {
      const left = (waiting.get(to) as number) - 1;
      waiting.set(to, left);
      if (left > 0) continue;
      const place = ready.findIndex((other) => other > to);
      ready.splice(place < 0 ? ready.length : place, 0, to);
    }
  }
  return order;
}

export function orderBlocks(nodes: readonly string[], edges: readonly Edge[]): Order {
  const sorted = [...nodes].sort(byText);
  const tidy = [...edges].sort((a, b) => byText(a.name, b.name));
  const delayed = new Set(delayedEdges(sorted, tidy, tidy));
  const found = groups(sorted, tidy);
  const groupOf = new Map(found.flatMap((group) => group.map((id) => [id, group[0] as string] as const)));
  const members = new Map(found.map((group) => [group[0] as string, group]));
  const between = tidy
    .map((edge) => ({ name: edge.name, from: groupOf.get(edge.from) as string, to: groupOf.get(edge.to) as string }))
    .filter((edge) => edge.from !== edge.to);
  const steps = along([...members.keys()], between).map((name): Step => {
    const group = members.get(name) as string[];
    const inside = tidy.filter((edge) => groupOf.get(edge.from) === name && groupOf.get(edge.to) === name);
    if (inside.length === 0) return { block: name };
    return {
      loop: along(
        group,
        inside.filter((edge) => !delayed.has(edge.name)),
      ),
    };
  });
  return { steps, delayed };
}
