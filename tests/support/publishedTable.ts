/** Published check data (tests/published/data/*.csv): '#' lines state source and conventions, the first other line names the columns. */
import { readFileSync } from 'node:fs';

export type Row = Readonly<Record<string, number>>;

/** All rows as numbers ("-inf" included). Asking for a column that is not there throws. */
export function publishedTable(name: string): readonly Row[] {
  const text = readFileSync(new URL(`../published/data/${name}.csv`, import.meta.url), 'utf8');
  const lines = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
  const columns = (lines[0] ?? '').split(',');
  return lines.slice(1).map((line) => {
    const values = line.split(',').map((word) => (word === '-inf' ? Number.NEGATIVE_INFINITY : Number(word)));
    const row: Record<string, number> = Object.fromEntries(columns.map((column, i) => [column, values[i] as number]));
    return new Proxy(row, {
      get(target, column) {
        const value = target[String(column)];
        if (value === undefined) throw new Error(`${name}.csv has no column ${String(column)}.`);
        return value;
      },
    });
  });
}
