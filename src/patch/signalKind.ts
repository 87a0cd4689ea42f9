/**
 * What kind of signal each output carries. An amplifier or a mixer has no kind of its own: it passes on what is patched
 * into it, so that the drawing shows a mixer of two modulators with thin lines.
 */
import type { Catalogue, SignalKind } from './blockSpec.ts';
import type { Cable, Patch, Place } from './document.ts';
import { placeName } from './document.ts';

/** Of several kinds that meet, the first here wins: the one that is heard first. */
const strongest: readonly SignalKind[] = ['audio', 'pitch', 'control', 'gate'];

/**
 * Kinds by output ("block.port"), for every output that a cable leaves. Kinds spread along the cables from the outputs
 * that have one of their own, through those that keep the kind, until nothing changes; a loop that nothing enters
 * shows the kinds its specs state.
 */
export function signalKinds(patch: Pick<Patch, 'blocks' | 'cables'>, catalogue: Catalogue): ReadonlyMap<string, SignalKind> {
  const specs = new Map(patch.blocks.map((block) => [block.id, catalogue.get(block.type)]));
  const stated = (place: Place): SignalKind | undefined => specs.get(place[0])?.outputs.find(({ id }) => id === place[1])?.kind;
  const patched = new Set(patch.cables.map((cable) => placeName(cable.to)));

  /** Outputs of the same block that pass on what comes into an input. */
  const passedOn = ([id, input]: Place): readonly string[] =>
    (specs.get(id)?.flows ?? []).flatMap((flow) =>
      flow.keepsKind && flow.from.includes(input) ? flow.to.map((port) => `${id}.${port}`) : [],
    );
  const keeps = ([id, port]: Place): boolean =>
    (specs.get(id)?.flows ?? []).some(
      (flow) => flow.keepsKind && flow.to.includes(port) && flow.from.some((input) => patched.has(`${id}.${input}`)),
    );

  const fed = new Map<string, string[]>();
  for (const { from, to } of patch.cables) fed.set(placeName(from), [...(fed.get(placeName(from)) ?? []), ...passedOn(to)]);
  const places = new Map(patch.cables.map(({ from }) => [placeName(from), from]));
  const kinds = new Map<string, SignalKind>();
  // From the strongest kind down, each output takes the first that arrives.
  for (const kind of strongest) {
    const waiting = [...places].flatMap(([name, place]) => (stated(place) === kind && !keeps(place) ? [name] : []));
    for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
      if (kinds.has(name)) continue;
      kinds.set(name, kind);
      waiting.push(...(fed.get(name) ?? []));
    }
  }
  for (const [name, place] of places) {
    const own = stated(place);
    if (own && !kinds.has(name)) kinds.set(name, own);
  }
  return new Map([...kinds].filter(([name]) => places.has(name)));
}

/** The kind by which one cable is drawn; audio if its source is unknown. For many cables ask `signalKinds` once. */
export function cableKind(patch: Pick<Patch, 'blocks' | 'cables'>, catalogue: Catalogue, cable: Cable): SignalKind {
  return signalKinds(patch, catalogue).get(placeName(cable.from)) ?? 'audio';
}
