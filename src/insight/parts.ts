/** The functions a patch takes, counted in trade words. */
import type { BlockSpec, Catalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';

export interface PartCount {
  readonly type: string;
  readonly count: number;
  /** The word for that many: "oscillator" or "oscillators". */
  readonly word: string;
}

/** Counts by type, in the order in which the catalogue groups them: sound, shapers, filters, modulation, envelopes, time, space. */
export function partsOf(patch: Patch, catalogue: Catalogue): PartCount[] {
  const counts = new Map<string, number>();
  for (const { type } of patch.blocks) counts.set(type, (counts.get(type) ?? 0) + 1);
  const groups: readonly BlockSpec['group'][] = ['sound', 'shape', 'filter', 'modulation', 'envelope', 'time', 'space'];
  return [...catalogue.values()]
    .filter((spec) => counts.has(spec.type))
    .sort((a, b) => groups.indexOf(a.group) - groups.indexOf(b.group) || (a.title < b.title ? -1 : 1))
    .map((spec) => {
      const count = counts.get(spec.type) ?? 0;
      return { type: spec.type, count, word: count === 1 ? spec.part.one : spec.part.many };
    });
}

/** "3 oscillators, 1 mixer, 1 output"; for a patch without blocks "no parts". */
export function partsText(parts: readonly PartCount[]): string {
  return parts.map(({ count, word }) => `${count} ${word}`).join(', ') || 'no parts';
}
