/** A block that goes into a cable pushes what lies on its right aside, if there is too little room. */
import { type BlockGeometry, GRID, type Point } from '../../sheet/drawing/geometry.ts';
import { overlap } from './rectGrid.ts';

const GAP = 4 * GRID;

/**
 * New centres of the blocks that must make room, all by the same step to the right, so that the drawing keeps its shape.
 * @param placed the block that was inserted, where it lies now
 * @param others all other blocks
 * @param source the block that feeds it: it stays, and the inserted block keeps clear of it
 */
export function makeRoom(
  placed: BlockGeometry,
  others: ReadonlyMap<string, BlockGeometry>,
  source: string,
): { readonly at: Point; readonly pushed: ReadonlyMap<string, Point> } {
  const half = halfWidth(placed);
  const feeding = others.get(source);
  const left = feeding && facing(feeding, placed) ? Math.max(placed.at[0], feeding.at[0] + halfWidth(feeding) + GAP + half) : placed.at[0];
  const at: Point = [Math.round(left / GRID) * GRID, placed.at[1]];
  const right = at[0] + half + GAP;
  const behind = [...others].filter(([id, other]) => id !== source && other.at[0] > placed.at[0]);
  const missing = behind.filter(([, other]) => facing(other, placed)).map(([, other]) => right - (other.at[0] - halfWidth(other)));
  const by = Math.ceil(Math.max(0, ...missing) / GRID) * GRID;
  const pushed = by > 0 ? behind : [];
  return { at, pushed: new Map(pushed.map(([id, other]) => [id, [other.at[0] + by, other.at[1]] as const])) };
}

/** Half of what a block takes up across, its label included. */
function halfWidth({ at, box, label }: BlockGeometry): number {
  return Math.max(at[0] - box.x, box.x + box.width - at[0], at[0] - label.x, label.x + label.width - at[0]);
}

/** Do two blocks stand side by side, at one height? */
function facing(a: BlockGeometry, b: BlockGeometry): boolean {
  const rows = ({ box, label }: BlockGeometry) => ({ x: 0, width: 1, y: label.y, height: box.y + box.height - label.y });
  return overlap(rows(a), rows(b));
}
