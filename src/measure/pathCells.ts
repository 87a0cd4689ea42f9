/** A long path of points as the cells of a grid that it passes: never more to draw than the picture has cells. */

export interface CellRun {
  readonly row: number;
  /** Cells from .. to - 1 of the row. */
  readonly from: number;
  readonly to: number;
}

export interface PathCells {
  readonly columns: number;
  readonly rows: number;
  /** Fractional column and row of a value; outside 0..columns or 0..rows is left out. */
  readonly column: (value: number) => number;
  readonly row: (value: number) => number;
}

/** Cells on the straight lines between points from..to-1 of two signals, as runs within rows. Points that are no numbers part the path. */
export function cellsOfPath(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  grid: PathCells,
  from = 0,
  to = Math.min(x.length, y.length),
): CellRun[] {
  const { columns, rows } = grid;
  const seen = new Uint8Array(columns * rows);
  let [lastX, lastY] = [Number.NaN, Number.NaN];
  for (let n = from; n < to; n++) {
    const nextX = grid.column(x[n] as number);
    const nextY = grid.row(y[n] as number);
    const steps = Number.isFinite(lastX + lastY) ? Math.ceil(Math.max(Math.abs(nextX - lastX), Math.abs(nextY - lastY))) : 1;
    // A line of more cells than the picture is wide and high comes from outside both ways.
    for (let s = 1; s <= Math.min(Math.max(1, steps), columns + rows); s++) {
      const share = steps <= 1 || Number.isNaN(lastX + lastY) ? 1 : s / steps;
      const column = Math.floor(share === 1 ? nextX : lastX + (nextX - lastX) * share);
      const row = Math.floor(share === 1 ? nextY : lastY + (nextY - lastY) * share);
      if (column >= 0 && column < columns && row >= 0 && row < rows) seen[row * columns + column] = 1;
    }
    lastX = nextX;
    lastY = nextY;
  }
  const runs: CellRun[] = [];
  for (let row = 0; row < rows; row++) {
    let start = -1;
    for (let column = 0; column <= columns; column++) {
      const filled = column < columns && seen[row * columns + column] === 1;
      if (filled && start < 0) start = column;
      else if (!filled && start >= 0) {
        runs.push({ row, from: start, to: column });
        start = -1;
      }
    }
  }
  return runs;
}
