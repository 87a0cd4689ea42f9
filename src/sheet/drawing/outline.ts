/** The outline of a symbol as a polygon, to find where a port's lead meets the body. */
import type { BlockSymbol } from '../../patch/symbol.ts';

export type Point = readonly [number, number];

const CURVE_PIECES = 24;

/** A path (M L H V C Q A Z, absolute or relative) as points, curves cut into straight pieces. Throws on other commands. */
export function pathPoints(path: string): Point[] {
  const tokens = path.match(/[a-zA-Z]|-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?/g) ?? [];
  const points: Point[] = [];
  let at: Point = [0, 0];
  let start: Point = [0, 0];
  let command = '';
  let k = 0;
  const next = (): number => {
    const value = Number(tokens[k++]);
    if (!Number.isFinite(value)) throw new Error(`a number is missing in the path "${path}"`);
    return value;
  };
  while (k < tokens.length) {
    const token = tokens[k] ?? '';
    if (/[a-zA-Z]/.test(token)) {
      command = token;
      k++;
    }
    const relative = command !== command.toUpperCase();
    const from = at;
    const pair = (): Point => {
      const x = next();
      const y = next();
      return relative ? [from[0] + x, from[1] + y] : [x, y];
    };
    const go = (point: Point): void => {
      at = point;
      points.push(point);
    };
    switch (command.toUpperCase()) {
      case 'M':
        go(pair());
        start = at;
        command = relative ? 'l' : 'L';
        break;
      case 'L':
        go(pair());
        break;
      case 'H': {
        const x = next();
        go([relative ? from[0] + x : x, from[1]]);
        break;
      }
      case 'V': {
        const y = next();
        go([from[0], relative ? from[1] + y : y]);
        break;
      }
      case 'Q': {
        const c = pair();
        const end = pair();
        for (let i = 1; i <= CURVE_PIECES; i++) go(bezier([from, c, end], i / CURVE_PIECES));
        break;
      }
      case 'C': {
        const c1 = pair();
        const c2 = pair();
        const end = pair();
        for (let i = 1; i <= CURVE_PIECES; i++) go(bezier([from, c1, c2, end], i / CURVE_PIECES));
        break;
      }
      case 'A': {
        const rx = next();
        const ry = next();
        next();
        const large = next() !== 0;
        const sweep = next() !== 0;
        for (const point of arcPoints(from, pair(), rx, ry, large, sweep)) go(point);
        break;
      }
      case 'Z':
        go(start);
        break;
      default:
        throw new Error(`the path command ${command} is not drawn by symbols`);
    }
  }
  return points;
}

function bezier(controls: readonly Point[], t: number): Point {
  let row = controls;
  while (row.length > 1) row = row.slice(1).map((b, i) => mix(row[i] ?? b, b, t));
  return row[0] ?? [0, 0];
}

function mix(a: Point, b: Point, t: number): Point {
  return [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
}

/** An elliptical arc without axis rotation: SVG 1.1, appendix F.6.5. */
function arcPoints(from: Point, to: Point, rx: number, ry: number, large: boolean, sweep: boolean): Point[] {
  if (rx === 0 || ry === 0) return [to];
  const dx = (from[0] - to[0]) / 2 / rx;
  const dy = (from[1] - to[1]) / 2 / ry;
  const d = dx * dx + dy * dy;
  const grow = Math.sqrt(Math.max(1, d));
  const h = Math.sqrt(Math.max(0, 1 / Math.max(d, 1e-12) - 1)) * (large === sweep ? -1 : 1);
  const cx = h * dy * rx + (from[0] + to[0]) / 2;
  const cy = -h * dx * ry + (from[1] + to[1]) / 2;
  const a = Math.atan2((from[1] - cy) / ry, (from[0] - cx) / rx);
  let turn = Math.atan2((to[1] - cy) / ry, (to[0] - cx) / rx) - a;
  if (sweep && turn <= 0) turn += 2 * Math.PI;
  if (!sweep && turn >= 0) turn -= 2 * Math.PI;
  return Array.from({ length: CURVE_PIECES }, (_, i) => {
    const angle = a + (turn * (i + 1)) / CURVE_PIECES;
    return i === CURVE_PIECES - 1 ? to : ([cx + rx * grow * Math.cos(angle), cy + ry * grow * Math.sin(angle)] as const);
  });
}

/** Where the segment a-b crosses the polygon, as shares of a-b, in rising order. */
export function crossings(polygon: readonly Point[], a: Point, b: Point): number[] {
  const shares: number[] = [];
  for (let i = 0; i < polygon.length; i++) {
    const p = polygon[i];
    const q = polygon[(i + 1) % polygon.length];
    if (!p || !q) continue;
    const rx = b[0] - a[0];
    const ry = b[1] - a[1];
    const sx = q[0] - p[0];
    const sy = q[1] - p[1];
    const cross = rx * sy - ry * sx;
    if (Math.abs(cross) < 1e-12) continue;
    const t = ((p[0] - a[0]) * sy - (p[1] - a[1]) * sx) / cross;
    const u = ((p[0] - a[0]) * ry - (p[1] - a[1]) * rx) / cross;
    if (t >= -1e-9 && t <= 1 + 1e-9 && u >= -1e-9 && u <= 1 + 1e-9) shares.push(t);
  }
  return shares.sort((x, y) => x - y);
}

export interface Outline {
  /** In the unit box. */
  readonly polygon: readonly Point[];
  /** Fills its box nearly to the corners, so that it may be stretched like a box. */
  readonly boxLike: boolean;
}

const outlines = new WeakMap<BlockSymbol, Outline>();

export function outlineOf(symbol: BlockSymbol): Outline {
  const known = outlines.get(symbol);
  if (known) return known;
  const polygon = pathPoints(symbol.outline);
  let twiceArea = 0;
  for (let i = 0; i < polygon.length; i++) {
    const p = polygon[i] ?? [0, 0];
    const q = polygon[(i + 1) % polygon.length] ?? [0, 0];
    twiceArea += p[0] * q[1] - q[0] * p[1];
  }
  const outline = { polygon, boxLike: Math.abs(twiceArea) / 2 > 0.9 };
  outlines.set(symbol, outline);
  return outline;
}
