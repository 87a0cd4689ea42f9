/** Places along a cable for what hangs on it. */
import type { Point } from '../../sheet/drawing/geometry.ts';

export interface Piece {
  readonly a: Point;
  readonly b: Point;
  readonly length: number;
}

export function pieces(points: readonly Point[]): Piece[] {
  return points.slice(1).map((b, i) => {
    const a = points[i] ?? b;
    return { a, b, length: Math.abs(a[0] - b[0]) + Math.abs(a[1] - b[1]) };
  });
}

/** The middle of the longest piece, a level one where there is a choice. */
export function longestMiddle(
  points: readonly Point[],
): { readonly at: Point; readonly level: boolean; readonly length: number } | undefined {
  let best: Piece | undefined;
  for (const piece of pieces(points)) {
    const weight = (it: Piece): number => it.length * (it.a[1] === it.b[1] ? 1.5 : 1);
    if (!best || weight(piece) > weight(best)) best = piece;
  }
  if (!best) return undefined;
  return { at: [(best.a[0] + best.b[0]) / 2, (best.a[1] + best.b[1]) / 2], level: best.a[1] === best.b[1], length: best.length };
}

/** Near the input, where the signal arrives late: the middle of the last piece that has room. */
export function delayMark(points: readonly Point[]): Point {
  const roomy = pieces(points).filter((piece) => piece.length >= 32);
  const piece = roomy.at(-1) ?? pieces(points).at(-1);
  return piece ? [(piece.a[0] + piece.b[0]) / 2, (piece.a[1] + piece.b[1]) / 2] : [0, 0];
}

/** How far a point is from a cable. */
export function distanceTo(points: readonly Point[], [x, y]: Point): number {
  let least = Number.POSITIVE_INFINITY;
  for (const { a, b } of pieces(points)) {
    const nx = Math.max(Math.min(a[0], b[0]), Math.min(x, Math.max(a[0], b[0])));
    const ny = Math.max(Math.min(a[1], b[1]), Math.min(y, Math.max(a[1], b[1])));
    least = Math.min(least, Math.hypot(x - nx, y - ny));
  }
  return least;
}
