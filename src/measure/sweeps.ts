/** Successive sweeps of a triggered scope. */
import { findEdges, type Trigger } from './trigger.ts';

/**
 * Where sweeps of `frames` frames began, the newest first. The newest begins at the last edge at or before `last`; each earlier one at
 * the last edge that leaves room for a whole sweep before the next. Looks back over `reach` frames; at most `most` sweeps, and where
 * there are more, evenly chosen ones of them.
 */
export function sweepsBack(
  samples: ArrayLike<number>,
  trigger: Trigger,
  last: number,
  frames: number,
  reach: number,
  most: number,
): number[] {
  const from = Math.max(0, Math.floor(last - reach));
  const edges = findEdges(samples, trigger, from, Math.min(samples.length, Math.floor(last) + 1));
  const starts: number[] = [];
  let before = Number.POSITIVE_INFINITY;
  for (let i = edges.length - 1; i >= 0; i--) {
    const edge = edges[i] as number;
    if (edge + frames > before) continue;
    starts.push(edge);
    before = edge;
  }
  if (starts.length <= most) return starts;
  return Array.from({ length: most }, (_, i) => starts[Math.round((i * (starts.length - 1)) / Math.max(1, most - 1))] as number);
}
