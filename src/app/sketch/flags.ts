/** Where the little traces hang on the cables. */

import type { SignalKind } from '../../patch/blockSpec.ts';
import type { Place } from '../../patch/document.ts';
import type { DrawnCable } from './drawn.ts';
import { longestMiddle } from './middle.ts';

export const FLAG = { width: 48, height: 20 } as const;
/** Shorter pieces of cable carry no flag. */
const LEAST_ROOM = 56;

export interface Flag {
  readonly name: string;
  readonly source: Place;
  readonly kind: SignalKind;
  /** Centre, in sketch units. */
  readonly x: number;
  readonly y: number;
}

/** One flag per output: its cables all carry the same voltage, so the one with the longest free piece shows it. */
export function placeFlags(cables: Iterable<DrawnCable>): Flag[] {
  const best = new Map<string, { readonly flag: Flag; readonly room: number }>();
  for (const { source, kind, points, ownFrom } of cables) {
    const spot = longestMiddle(points.slice(ownFrom));
    if (!spot || spot.length < LEAST_ROOM || spot.length <= (best.get(source)?.room ?? 0)) continue;
    const dot = source.indexOf('.');
    const flag = { name: source, source: [source.slice(0, dot), source.slice(dot + 1)] as const, kind, x: spot.at[0], y: spot.at[1] };
    best.set(source, { flag, room: spot.length });
  }
  return [...best.values()].map(({ flag }) => flag);
}
