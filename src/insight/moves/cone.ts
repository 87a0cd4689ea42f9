/** What reaches a place in the patch, and on which way. */
import { type Cable, type Place, placeName } from '../../patch/document.ts';
import { createGraph, type Graph, reachableFrom, reachableTo } from '../../patch/reach.ts';
import { findSetting } from '../../patch/settings.ts';
import { inputSpec, type KnownBlock, labelOf, sourceOf, type Wired } from '../wired.ts';

/** What can be silenced: a block's outputs, or the hand at a setting. */
export interface Source {
  /** "block", or "block.setting" for a hand. */
  readonly key: string;
  readonly block: string;
  /** The setting that a hand moves; undefined for a block. */
  readonly setting?: string;
  readonly label: string;
}

export interface Way {
  /** Cables by the input they end in. */
  readonly cables: readonly string[];
  readonly blocks: readonly string[];
}

export interface Cone {
  /** All blocks whose signals reach the place, in the order of the patch. */
  readonly reaching: readonly string[];
  /** Blocks that pass something on to the place. */
  readonly passing: ReadonlySet<string>;
  /** The first sources met on the way back from the place. */
  readonly near: readonly Source[];
  /** Sources that reach it only through those. */
  readonly far: readonly Source[];
  /** The way from a source to the place; of a near one by blocks that pass something on, or `wide` also by other sources. */
  wayOf(source: Source, wide?: boolean): Way;
  /** Passing blocks on the way from a near source. */
  passedBy(source: Source): ReadonlySet<string>;
  /** Cables from a source that lead straight into its way to the place; from a far source all its cables. */
  entriesOf(source: Source): readonly Cable[];
  /** Does one source act on the other? */
  drives(one: Source, other: Source): boolean;
  /** Does it so by blocks that pass something on to the place as well? */
  meddles(one: Source, other: Source): boolean;
}

/** `ends`: inputs that are looked at; `hands`: settings that act there directly. */
export function coneOf(wired: Wired, ends: readonly Place[], hands: readonly Place[]): Cone {
  const cables = [...wired.into.values()];
  const graph = createGraph({ blocks: [...wired.blocks.values()].map(({ block }) => block), cables });
  const first = ends.flatMap((end) => inputCable(wired, end)?.from[0] ?? []);
  const reaching = reachableTo(graph, first);
  const { passing, makers } = walkBack(wired, first);
  const moved = movedSettings(wired);
  const isNearHand = ([block, setting]: Place): boolean =>
    passing.has(block) || hands.some((hand) => hand[0] === block && hand[1] === setting);
  const near = [
    ...inOrder(wired, makers).map((id) => blockSource(wired, id)),
    ...moved.filter(isNearHand).map((place) => handSource(wired, place)),
  ];
  const isFar = (id: string): boolean => reaching.has(id) && !makers.has(id);
  const far = [
    ...inOrder(wired, reaching)
      .filter((id) => isFar(id) && !passing.has(id) && isMaker(wired, wired.blocks.get(id) as KnownBlock))
      .map((id) => blockSource(wired, id)),
    ...moved.filter((place) => reaching.has(place[0]) && !isNearHand(place)).map((place) => handSource(wired, place)),
  ];
  const endNames = new Set(ends.flatMap((end) => nameOf(inputCable(wired, end)?.to)));

  /** What a source reaches of some blocks; a hand begins at its own block. */
  const reached = (source: Source, among: ReadonlySet<string>): ReadonlySet<string> => {
    const next = new Map(graph.nodes.map((id) => [id, (graph.next.get(id) ?? []).filter((to) => among.has(to))]));
    const all = reachableFrom({ ...graph, next } satisfies Graph, [source.block]);
    const loops = [...all].some((id) => next.get(id)?.includes(source.block));
    return new Set([...all].filter((id) => among.has(id) && (id !== source.block || source.setting !== undefined || loops)));
  };
  const nearKeys = new Set(near.map(({ key }) => key));

  return {
    reaching: inOrder(wired, reaching),
    passing,
    near,
    far,
    wayOf(source, wide = false) {
      const within = nearKeys.has(source.key) && !wide ? passing : reaching;
      const onTheWay = new Set([...reached(source, within), source.block]);
      const along = [...wired.into].filter(
        ([name, { from, to }]) => onTheWay.has(from[0]) && (endNames.has(name) || (within.has(to[0]) && onTheWay.has(to[0]))),
      );
      return { cables: along.map(([name]) => name), blocks: inOrder(wired, onTheWay) };
    },
    passedBy: (source) => reached(source, passing),
    entriesOf: ({ key, block, setting }) =>
      setting !== undefined
        ? []
        : cables.filter(({ from, to }) => from[0] === block && (!nearKeys.has(key) || passing.has(to[0]) || endNames.has(placeName(to)))),
    meddles: (one, other) => one.key !== other.key && reachableFrom(graph, reached(one, passing)).has(other.block),
    drives: (one, other) =>
      one.key !== other.key &&
      other.setting === undefined &&
      (one.block === other.block || reachableFrom(graph, graph.next.get(one.block) ?? []).has(other.block)),
  };
}

/** All inputs that read a cable: the one it ends in, and those normalled to that. */
export function readersOf(wired: Wired, { to: [block, input] }: Cable): Place[] {
  const others = (wired.blocks.get(block)?.spec.inputs ?? []).filter(
    ({ id, normalFrom }) => normalFrom === input && !wired.into.has(placeName([block, id])),
  );
  return [input, ...others.map(({ id }) => id)].map((id): Place => [block, id]);
}

/** The cable that an input reads: its own, or another input's that it is normalled to. */
export function inputCable(wired: Wired, [block, input]: Place): Cable | undefined {
  const own = wired.into.get(placeName([block, input]));
  const spec = wired.blocks.get(block)?.spec;
  const other = spec && inputSpec(spec, input)?.normalFrom;
  return own ?? (other === undefined ? undefined : wired.into.get(placeName([block, other])));
}

function nameOf(place: Place | undefined): string[] {
  return place ? [placeName(place)] : [];
}

/** Nothing flows through it: it has no flows, or no cable into any of them. */
function isMaker(wired: Wired, { block, spec }: KnownBlock): boolean {
  return !(spec.flows ?? []).some(({ from }) => from.some((input) => sourceOf(wired, block.id, input) !== undefined));
}

/** From some blocks back along the cables, up to the first blocks that make what they put out. */
function walkBack(wired: Wired, from: readonly string[]): { passing: ReadonlySet<string>; makers: ReadonlySet<string> } {
  const passing = new Set<string>();
  const makers = new Set<string>();
  const waiting = [...from];
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    const known = wired.blocks.get(id);
    if (!known || passing.has(id) || makers.has(id)) continue;
    if (isMaker(wired, known)) {
      makers.add(id);
      continue;
    }
    passing.add(id);
    for (const input of known.spec.inputs) {
      const source = sourceOf(wired, id, input.id);
      if (source) waiting.push(source[0]);
    }
  }
  return { passing, makers };
}

/** Settings that a hand moves during the take, each once. */
function movedSettings(wired: Wired): Place[] {
  const places = (wired.patch.moves ?? []).filter(({ block, points }) => points.length > 0 && wired.blocks.has(block));
  return [...new Map(places.map(({ block, setting }): [string, Place] => [placeName([block, setting]), [block, setting]])).values()];
}

function inOrder(wired: Wired, ids: ReadonlySet<string>): string[] {
  return [...wired.blocks.keys()].filter((id) => ids.has(id));
}

function blockSource(wired: Wired, id: string): Source {
  return { key: id, block: id, label: labelOf(wired, id) };
}

function handSource(wired: Wired, [block, setting]: Place): Source {
  const spec = wired.blocks.get(block)?.spec;
  const title = (spec && findSetting(spec, setting)?.title) ?? setting;
  return { key: placeName([block, setting]), block, setting, label: `the hand at ${title} of ${labelOf(wired, block)}` };
}
