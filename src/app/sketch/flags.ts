/** Where the little traces hang on the cables. */
import type { SignalKind } from '../../patch/blockSpec.ts';
import type { Place } from '../../patch/document.ts';
import type { Point, Rect } from '../../sheet/drawing/geometry.ts';
import type { DrawnCable, DrawnState } from './drawn.ts';
import { delayMark, type Piece, pieces } from './middle.ts';
import { createRectGrid, type RectGrid } from './rectGrid.ts';

export const FLAG = { width: 40, height: 18 } as const;
/** Room for a flag along its piece of cable. */
const LEVEL_ROOM = FLAG.width + 4;
const UPRIGHT_ROOM = FLAG.height + 12;
const STEP = 8;
/** A place of this weight is not covered, whatever else there is. */
const NEVER = 100;

export interface Flag {
  readonly name: string;
  readonly source: Place;
  readonly kind: SignalKind;
  /** Centre, in sketch units. */
  readonly x: number;
  readonly y: number;
}

/**
 * One flag per output, as its cables all carry the same voltage: on a piece of cable that has room, clear of blocks, labels,
 * names, other cables and other flags where such a place can be found. An output with short cables only has none.
 */
export function placeFlags({ routes, blocks, delayed }: DrawnState): Flag[] {
  const all = [...routes.values()];
  const taken = createRectGrid();
  for (const { box, label, ports } of blocks.values()) {
    taken.add(box, 4);
    taken.add(label, 3);
    for (const port of ports) if (port.name) taken.add(port.name.rect, 2);
  }
  for (const { points, source } of all) for (const piece of pieces(points)) taken.add(around(piece.a, piece.b), 1, source);

  for (const { key, points } of all) if (delayed.has(key)) taken.add(markRect(delayMark(points)), NEVER);

  // Who has the least room chooses first.
  const askers = [...groupBySource(all)].map(([source, own]) => ({ source, own, roomy: roomyPieces(own) }));
  const room = (roomy: readonly Piece[]): number => roomy.reduce((sum, piece) => sum + piece.length, 0);
  askers.sort((a, b) => room(a.roomy) - room(b.roomy));
  const flags: Flag[] = [];
  for (const { source, own, roomy } of askers) {
    const spot = bestSpot(roomy, taken, source);
    if (!spot) continue;
    const dot = source.indexOf('.');
    const [x, y] = spot;
    flags.push({ name: source, source: [source.slice(0, dot), source.slice(dot + 1)], kind: own[0]?.kind ?? 'audio', x, y });
    taken.add(flagRect(spot), 6);
  }
  return flags;
}

function groupBySource(cables: readonly DrawnCable[]): Map<string, DrawnCable[]> {
  const result = new Map<string, DrawnCable[]>();
  for (const cable of cables) {
    const own = result.get(cable.source);
    if (own) own.push(cable);
    else result.set(cable.source, [cable]);
  }
  return result;
}

/** Pieces on which a flag has room, longest first. */
function roomyPieces(cables: readonly DrawnCable[]): Piece[] {
  return cables
    .flatMap(({ points, ownFrom }) => pieces(points.slice(ownFrom)))
    .filter(({ a, b, length }) => length >= (a[1] === b[1] ? LEVEL_ROOM : UPRIGHT_ROOM))
    .sort((p, q) => q.length - p.length);
}

/** The place with the least in its way; among equals the one nearest to the middle of the longest piece. */
function bestSpot(roomy: readonly Piece[], taken: RectGrid, source: string): Point | undefined {
  let best: Point | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const { a, b, length } of roomy) {
    const level = a[1] === b[1];
    const reach = (length - (level ? LEVEL_ROOM : UPRIGHT_ROOM)) / 2;
    for (let off = 0; off <= reach; off += STEP) {
      for (const sign of off === 0 ? [1] : [1, -1]) {
        const share = 0.5 + (sign * off) / length;
        const spot: Point = [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
        const cost = taken.weight(flagRect(spot), source);
        if (cost < least && cost < NEVER) {
          least = cost;
          best = spot;
        }
        if (cost === 0) return spot;
      }
    }
  }
  return best;
}

function flagRect([x, y]: Point): Rect {
  return { x: x - FLAG.width / 2 - 2, y: y - FLAG.height / 2 - 2, width: FLAG.width + 4, height: FLAG.height + 4 };
}

function markRect([x, y]: Point): Rect {
  return { x: x - 11, y: y - 8, width: 22, height: 16 };
}

function around(a: Point, b: Point): Rect {
  return { x: Math.min(a[0], b[0]) - 1, y: Math.min(a[1], b[1]) - 1, width: Math.abs(a[0] - b[0]) + 2, height: Math.abs(a[1] - b[1]) + 2 };
}
