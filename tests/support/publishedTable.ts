/** Published check data (tests/published/data/*.csv): '#' lines state source and conventions, the first other line names the columns. */
import { readFileSync } from 'node:fs';

export type Row = Readonly<Record<string, number>>;

/** The words of every row, column by column; the first row names the columns. */
export function publishedWords(name: string): readonly (readonly string[])[] {
  const text = readFileSync(new URL(`../published/data/${name}.csv`, import.meta.url), 'utf8');
  return text
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'))
    .map((line) => line.split(','));
}

/** All rows as numbers ("-inf" included). Asking for a column that is not there throws. */
export function publishedTable(name: string): readonly Row[] {
  const [columns = [], ...rows] = publishedWords(name);
  return rows.map((words) => {
    const values = words.map((word) => (word === '-inf' ? Number.NEGATIVE_INFINITY : Number(word)));
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

/** Rows that share a key, in the order of their first appearance. */
export function grouped<Item>(
  items: readonly Item[],
  keyOf: (item: Item) => string,
): readonly (readonly [key: string, items: readonly Item[]])[] {
  const groups = new Map<string, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return [...groups];
}
