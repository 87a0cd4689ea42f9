/** New block ids: stem + number, counted on from the highest ever seen, as an id seeds a block's randomness for good. */
import type { Patch } from '../document.ts';

/**
 * A dealer of new ids for a patch: each call gives the next free id of a stem. No id is dealt that a block of the
 * patch has, that one of its variations brings in, or that is in `more` (ids that history remembers).
 */
export function freshIds(patch: Patch, more: Iterable<string> = []): (stem: string) => string {
  const inVariations = (patch.variations ?? []).flatMap(({ changes }) =>
    changes.flatMap((change) => ('add' in change ? [change.add.id] : [])),
  );
  const taken = new Set([...patch.blocks.map((block) => block.id), ...inVariations, ...more]);
  const highest = new Map<string, number>();
  for (const id of taken) {
    const [, stem = '', digits] = /^(.*?)([1-9]\d{0,8})$/.exec(id) ?? [];
    if (digits) highest.set(stem, Math.max(highest.get(stem) ?? 0, Number(digits)));
  }
  return (stem) => {
    let next = (highest.get(stem) ?? 0) + 1;
    while (taken.has(`${stem}${next}`)) next += 1;
    highest.set(stem, next);
    return `${stem}${next}`;
  };
}
