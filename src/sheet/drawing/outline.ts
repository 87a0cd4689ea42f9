/** The outline of a symbol as a polygon, to find where a port's lead meets the body. */
import type { BlockSymbol } from '../../patch/symbol.ts';

export type Point = readonly [number, number];

const CURVE_PIECES = 24;

/** One command of a path with absolute coordinates. */
export interface PathCommand {
  readonly letter: 'M' | 'L' | 'Q' | 'C' | 'A' | 'Z';
  /** Control points and the end point, in order; none for Z. */
  readonly points: readonly Point[];
  readonly arc?: { readonly rx: number; readonly ry: number; readonly large: boolean; readonly sweep: boolean };
}

/** Reads path data (M L H V C Q A Z, absolute or relative). Throws on other commands. */
export function parsePath(path: string): PathCommand[] {
  const tokens = path.match(/[a-zA-Z]|-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?/g) ?? [];
  const commands: PathCommand[] = [];
  let at: Point = [0, 0];
  let start: Point = [0, 0];
  let command = '';
  let k = 0;
  const next = (): number => {
    const value = Number(tokens[k++]);
    if (!Number.isFinite(value)) throw new Error(`a number is missing in the path "${path}"`);
    return value;
  };
  const go = (letter: PathCommand['letter'], points: readonly Point[], arc?: PathCommand['arc']): void => {
    commands.push(arc ? { letter, points, arc } : { letter, points });
    at = points.at(-1) ?? start;
  };
  while (k < tokens.length) {
    const token = tokens[k] ?? '';
    if (/[a-zA-Z]/.test(token)) {
      command = token;
      k++;
    }
    const relative = command !== command.toUpperCase();
    const from: Point = relative ? at : [0, 0];
    const pair = (): Point => {
      const x = next();
      return [from[0] + x, from[1] + next()];
    };
    switch (command.toUpperCase()) {
      case 'M':
        go('M', [pair()]);
        start = at;
        command = relative ? 'l' : 'L';
        break;
      case 'L':
        go('L', [pair()]);
        break;
      case 'H':
        go('L', [[from[0] + next(), at[1]]]);
        break;
      case 'V':
        go('L', [[at[0], from[1] + next()]]);
        break;
      case 'Q':
        go('Q', [pair(), pair()]);
        break;
      case 'C':
        go('C', [pair(), pair(), pair()]);
        break;
      case 'A': {
        const [rx, ry] = [next(), next()];
        next();
        const [large, sweep] = [next() !== 0, next() !== 0];
        go('A', [pair()], { rx, ry, large, sweep });
        break;
      }
      case 'Z':
        go('Z', []);
        break;
      default:
        throw new Error(`the path command ${command} is not drawn by symbols`);
    }
  }
  return commands;
}

/** A path as points, curves cut into straight pieces. */
export function pathPoints(path: string): Point[] {
  const points: Point[] = [];
  let start: Point = [0, 0];
  for (const { letter, points: controls, arc } of parsePath(path)) {
    const from = points.at(-1) ?? start;
    const end = controls.at(-1) ?? start;
    if (letter === 'M') start = end;
    if (arc) points.push(...arcPoints(from, end, arc.rx, arc.ry, arc.large, arc.sweep));
    else if (controls.length > 1) for (let i = 1; i <= CURVE_PIECES; i++) points.push(bezier([from, ...controls], i / CURVE_PIECES));
    else points.push(end);
  }
  return points;
}

/**
 * Path data with every point moved by `place`.
 * @param scale of arc radii along x and y
 */
export function mapPath(path: string, place: (point: Point) => Point, scale: Point): string {
  const write = (value: number): string => String(Math.round(value * 100) / 100);
  return parsePath(path)
    .map(({ letter, points, arc }) => {
      const spots = points.map((point) => place(point).map(write).join(' ')).join(' ');
      const radii = arc ? `${write(arc.rx * scale[0])} ${write(arc.ry * scale[1])} 0 ${Number(arc.large)} ${Number(arc.sweep)} ` : '';
      return `${letter}${radii}${spots}`;
    })
    .join('');
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
