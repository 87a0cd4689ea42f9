/**
 * What kind of signal each output carries in a patch. An amplifier or a mixer has no kind of its own: it passes on what
 * is patched into it, so a mixer of two modulators is drawn with thin lines.
 */
import type { Catalogue, SignalKind } from '../../patch/blockSpec.ts';
import { type Patch, type Place, placeName } from '../../patch/document.ts';

/** Of several kinds that meet, the one that is heard first. */
const stronger: readonly SignalKind[] = ['audio', 'pitch', 'control', 'gate'];

/** Kinds by output name ("block.port") of every output that a cable leaves. */
export function signalKinds(patch: Pick<Patch, 'blocks' | 'cables'>, catalogue: Catalogue): Map<string, SignalKind> {
  const specs = new Map(patch.blocks.map((block) => [block.id, catalogue.get(block.type)]));
  const sources = new Map(patch.cables.map((cable) => [placeName(cable.to), cable.from]));
  const kinds = new Map<string, SignalKind>();

  /** Undefined while the output is reached again through a loop. */
  function kindOf(place: Place, seen: ReadonlySet<string>): SignalKind | undefined {
    const name = placeName(place);
    if (seen.has(name)) return undefined;
    const known = kinds.get(name);
    if (known) return known;
    const spec = specs.get(place[0]);
    const output = spec?.outputs.find((port) => port.id === place[1]);
    if (!spec || !output) return undefined;
    const flow = spec.flows?.find((each) => each.keepsKind && each.to.includes(place[1]));
    const incoming = (flow?.from ?? []).flatMap((input) => {
      const source = sources.get(`${place[0]}.${input}`);
      return source ? [kindOf(source, new Set([...seen, name]))] : [];
    });
    const kind = stronger.find((each) => incoming.includes(each)) ?? output.kind;
    // What was found while a loop was open may lack a part of it.
    if (seen.size === 0) kinds.set(name, kind);
    return kind;
  }

  for (const cable of [...patch.cables].sort((a, b) => (placeName(a.from) < placeName(b.from) ? -1 : 1))) kindOf(cable.from, new Set());
  return kinds;
}
