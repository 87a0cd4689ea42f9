// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { cellsOfPath } from './pathCells.ts';

const grid = { columns: 100, rows: 100, column: (v: number): number => 50 + 40 * v, row: (v: number): number => 50 - 40 * v };

/** Figures of Lissajous: x = sin t, y = sin(t + phase) is a line at 0 or 180 degrees, a circle at 90. */
function figure(degrees: number, frames: number): [number[], number[]] {
  const angles = Array.from({ length: frames }, (_, n) => (2 * Math.PI * n) / (frames - 1));
  return [angles.map(Math.sin), angles.map((a) => Math.sin(a + (degrees * Math.PI) / 180))];
}
const cells = (degrees: number, frames = 1000): Set<string> =>
  new Set(
    cellsOfPath(...figure(degrees, frames), grid).flatMap(({ row, from, to }) =>
      Array.from({ length: to - from }, (_, i) => `${from + i},${row}`),
    ),
  );

describe('cells of a path', () => {
  it('signals in phase make a diagonal line, a quarter apart a circle', () => {
    for (const cell of cells(0)) {
      const [column, row] = cell.split(',').map(Number) as [number, number];
      expect(Math.abs(column + row - 99)).toBeLessThanOrEqual(1);
    }
    for (const cell of cells(90)) {
      const [column, row] = cell.split(',').map(Number) as [number, number];
      expect(Math.abs(Math.hypot(column + 0.5 - 50, row + 0.5 - 50) - 40)).toBeLessThan(1);
    }
  });

  it('few points are joined: the circle has no hole', () => {
    const some = cells(90, 60);
    for (let a = 0; a < 360; a += 3) {
      const near = [...some].some((cell) => {
        const [column, row] = cell.split(',').map(Number) as [number, number];
        return Math.hypot(column + 0.5 - 50 - 40 * Math.cos((a * Math.PI) / 180), row + 0.5 - 50 - 40 * Math.sin((a * Math.PI) / 180)) < 2;
      });
      expect(near).toBe(true);
    }
  });

  it('what lies outside or is missing is left out', () => {
    expect(cellsOfPath([5, 5], [5, 5], grid)).toEqual([]);
    expect(cellsOfPath([Number.NaN, 0], [0, Number.NaN], grid)).toEqual([]);
    expect(cellsOfPath([0, Number.NaN, 1], [0, Number.NaN, 1], grid)).toEqual([
      { row: 10, from: 90, to: 91 },
      { row: 50, from: 50, to: 51 },
    ]);
  });
});
