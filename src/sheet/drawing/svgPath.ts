/** Orthogonal corner points as SVG path data, with rounded corners and small arcs where the line hops over another. */
import type { Point } from './geometry.ts';
import type { CableRoute } from './route.ts';

export const CORNER_RADIUS = 7;
export const JUMP_RADIUS = 4;

const distance = (a: Point, b: Point): number => Math.abs(a[0] - b[0]) + Math.abs(a[1] - b[1]);
const write = (value: number): string => String(Math.round(value * 100) / 100);
const spot = ([x, y]: Point): string => `${write(x)} ${write(y)}`;

/** The point on a-b that lies `length` from a. */
function along(a: Point, b: Point, length: number): Point {
  const whole = distance(a, b);
  return whole === 0 ? a : [a[0] + ((b[0] - a[0]) * length) / whole, a[1] + ((b[1] - a[1]) * length) / whole];
}

/**
 * @param points corners of an orthogonal line
 * @param radius of the corners; smaller where pieces are short or a jump is near
 * @param jumps points on the line (away from its corners) that are hopped over with a half circle, upwards or to the right
 */
export function svgPath(points: readonly Point[], radius: number = CORNER_RADIUS, jumps: readonly Point[] = []): string {
  const first = points[0];
  if (!first) return '';
  const pieces = points.slice(1).map((b, k) => {
    const a = points[k] ?? b;
    const on = jumps
      .filter((jump) => Math.abs(distance(a, jump) + distance(jump, b) - distance(a, b)) < 1e-6)
      .map((jump) => distance(a, jump))
      .sort((x, y) => x - y);
    return { a, b, length: distance(a, b), on };
  });
  let path = `M${spot(first)}`;
  let corner = 0;
  for (const [k, piece] of pieces.entries()) {
    const { a, b, length, on } = piece;
    const sweep = a[0] < b[0] || a[1] < b[1] ? 1 : 0;
    for (const at of on) {
      path += `L${spot(along(a, b, at - JUMP_RADIUS))}A${JUMP_RADIUS} ${JUMP_RADIUS} 0 0 ${sweep} ${spot(along(a, b, at + JUMP_RADIUS))}`;
    }
    const next = pieces[k + 1];
    if (!next) {
      path += `L${spot(b)}`;
      break;
    }
    const before = on.length > 0 ? length - (on.at(-1) ?? 0) - JUMP_RADIUS : length - corner;
    const after = next.on.length > 0 ? (next.on[0] ?? 0) - JUMP_RADIUS : next.length / (pieces[k + 2] ? 2 : 1);
    corner = Math.max(0, Math.min(radius, before, after));
    path += corner > 0 ? `L${spot(along(b, a, corner))}Q${spot(b)} ${spot(along(b, next.b, corner))}` : `L${spot(b)}`;
  }
  return path;
}

/** The part of a cable that it does not share: what is drawn for it. */
export function ownPath(route: CableRoute, radius: number = CORNER_RADIUS): string {
  return svgPath(route.points.slice(route.ownFrom), radius, route.jumps);
}

/** The whole way from output to input, without jumps: what is highlighted and hit. */
export function wholePath(route: CableRoute, radius: number = CORNER_RADIUS): string {
  return svgPath(route.points, radius);
}

/** Where a cable leaves a trunk, a dot is drawn; undefined when it has its own line from the port. */
export function branchDot(route: CableRoute): Point | undefined {
  return route.ownFrom > 0 ? route.points[route.ownFrom] : undefined;
}

/** The middle of the longest piece of a line, where a mark has most room. */
export function longestMiddle(points: readonly Point[]): Point {
  let best: Point = points[0] ?? [0, 0];
  let longest = -1;
  for (const [k, b] of points.slice(1).entries()) {
    const a = points[k] ?? b;
    if (distance(a, b) <= longest) continue;
    longest = distance(a, b);
    best = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  }
  return best;
}
