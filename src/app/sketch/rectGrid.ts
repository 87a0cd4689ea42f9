/** What lies where on the sketch, in coarse cells, so that asking what is in the way looks only at what is near. */
import type { Rect } from '../../sheet/drawing/geometry.ts';

const CELL = 64;

export interface RectGrid {
  /** @param owner an asker of the same name does not see it */
  add(rect: Rect, weight: number, owner?: string): void;
  /** Sum of the weights of everything that overlaps. */
  weight(rect: Rect, asker?: string): number;
}

interface Entry {
  readonly rect: Rect;
  readonly weight: number;
  readonly owner: string | undefined;
}

export function createRectGrid(): RectGrid {
  const cells = new Map<string, Entry[]>();

  const each = (rect: Rect, visit: (key: string) => void): void => {
    const right = Math.floor((rect.x + rect.width) / CELL);
    const bottom = Math.floor((rect.y + rect.height) / CELL);
    for (let i = Math.floor(rect.x / CELL); i <= right; i++) for (let j = Math.floor(rect.y / CELL); j <= bottom; j++) visit(`${i} ${j}`);
  };

  return {
    add(rect, weight, owner) {
      const entry = { rect, weight, owner };
      each(rect, (key) => {
        const cell = cells.get(key);
        if (cell) cell.push(entry);
        else cells.set(key, [entry]);
      });
    },
    weight(rect, asker) {
      const met = new Set<Entry>();
      each(rect, (key) => {
        for (const entry of cells.get(key) ?? [])
          if ((asker === undefined || entry.owner !== asker) && overlap(entry.rect, rect)) met.add(entry);
      });
      let sum = 0;
      for (const entry of met) sum += entry.weight;
      return sum;
    },
  };
}

export function overlap(a: Rect, b: Rect): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}
