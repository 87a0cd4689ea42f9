/** Finding ports by place: under a pointer, or next in a direction. */
import { type BlockGeometry, type Point, type PortGeometry, portOf } from '../../sheet/drawing/geometry.ts';
import type { PortRef, Side } from './cabling.ts';

export interface FoundPort {
  readonly ref: PortRef;
  readonly port: PortGeometry;
}

/** The nearest port within `reach` sketch units; only of one side, or of one block, where that is asked. */
export function nearestPort(
  blocks: ReadonlyMap<string, BlockGeometry>,
  [x, y]: Point,
  reach: number,
  only: { readonly side?: Side; readonly block?: string } = {},
): FoundPort | undefined {
  let best: FoundPort | undefined;
  let least = reach;
  for (const [id, { box, ports }] of blocks) {
    if (only.block !== undefined && id !== only.block) continue;
    if (x < box.x - reach || x > box.x + box.width + reach || y < box.y - reach || y > box.y + box.height + reach) continue;
    for (const port of ports) {
      if (only.side && port.side !== only.side) continue;
      const distance = Math.hypot(port.x - x, port.y - y);
      if (distance > least) continue;
      least = distance;
      best = { ref: { place: [id, port.id], side: port.side }, port };
    }
  }
  return best;
}

const directions: Readonly<Record<string, Point>> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** The next port in the direction of an arrow key: near, and not too far off the line. While cabling, only ports that fit. */
export function nextPort(blocks: ReadonlyMap<string, BlockGeometry>, from: PortRef, key: string, side?: Side): PortRef | undefined {
  const direction = directions[key];
  const home = blocks.get(from.place[0]);
  const here = home && portOf(home, from.side, from.place[1]);
  if (!direction || !here) return undefined;
  let best: PortRef | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const [id, { ports }] of blocks) {
    for (const port of ports) {
      if (port === here || (side && port.side !== side)) continue;
      const ahead = (port.x - here.x) * direction[0] + (port.y - here.y) * direction[1];
      const aside = Math.abs((port.x - here.x) * direction[1]) + Math.abs((port.y - here.y) * direction[0]);
      if (ahead <= 0 || aside > 2 * ahead) continue;
      const cost = ahead + 2 * aside;
      if (cost >= least) continue;
      least = cost;
      best = { place: [id, port.id], side: port.side };
    }
  }
  return best;
}
