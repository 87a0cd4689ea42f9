/** Where a new block fits without lying on another. */
import { type BlockGeometry, GRID, type Point, snap } from '../../sheet/drawing/geometry.ts';
import { overlap } from './rectGrid.ts';

const CLEAR = 3 * GRID;
/** Room above a block for its label. */
const LABEL = 4 * GRID;
const STEP = 4 * GRID;
const MOST_RINGS = 40;

/** The free place nearest to `wish`, looked for on rings around it. */
export function freeSpot(wish: Point, size: { readonly width: number; readonly height: number }, blocks: Iterable<BlockGeometry>): Point {
  const taken = [...blocks].flatMap(({ box, label }) => [box, label]);
  const isFree = ([x, y]: Point): boolean => {
    const left = x - size.width / 2 - CLEAR;
    const top = y - size.height / 2 - CLEAR - LABEL;
    const rect = { x: left, y: top, width: size.width + 2 * CLEAR, height: size.height + 2 * CLEAR + LABEL };
    return taken.every((other) => !overlap(rect, other));
  };
  const [x, y] = snap(wish);
  for (let ring = 0; ring <= MOST_RINGS; ring++) {
    const spots = ringSpots(ring).map(([i, j]): Point => [x + i * STEP, y + j * STEP]);
    const free = spots.filter(isFree).sort((a, b) => Math.hypot(a[0] - x, a[1] - y) - Math.hypot(b[0] - x, b[1] - y))[0];
    if (free) return free;
  }
  return [x, y];
}

function ringSpots(ring: number): Point[] {
  const spots: Point[] = [];
  for (let i = -ring; i <= ring; i++) {
    for (let j = -ring; j <= ring; j++) if (Math.max(Math.abs(i), Math.abs(j)) === ring) spots.push([i, j]);
  }
  return spots;
}
