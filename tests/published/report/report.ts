/** `npm run report`: measures everything anew in the engine that ships and renders one page of it. */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { topics } from '../topics.ts';
import { type Drawn, figuresOf, type Measured } from './figure.ts';
import { aliasFigures } from './figures/alias.ts';
import { histogramFigures, rhythmFigures } from './figures/draws.ts';
import { warpFigures } from './figures/filters.ts';
import { outputFigures } from './figures/output.ts';
import { roomFigures } from './figures/space.ts';
import { type Chapter, pageOf } from './page.ts';

const root = fileURLToPath(new URL('../../..', import.meta.url));

/** Figures that are no rows, behind those of the topic's checks. */
const more: Readonly<Record<string, () => Promise<readonly Drawn[]>>> = {
  alias: aliasFigures,
  filters: warpFigures,
  chance: histogramFigures,
  rhythm: rhythmFigures,
  space: roomFigures,
  output: outputFigures,
};

/** Renders the page; returns the exit status. */
export async function report(args: readonly string[]): Promise<number> {
  const options = { out: { type: 'string' }, only: { type: 'string' } } as const;
  const read = () => {
    try {
      return parseArgs({ args: [...args], options }).values;
    } catch (fault) {
      console.error(`report: ${(fault as Error).message.split('\n')[0]}`);
      return undefined;
    }
  };
  const values = read();
  if (!values) return 2;
  const wanted = values.only?.split(',') ?? topics.map(({ id }) => id);
  const unknown = wanted.find((id) => !topics.some((topic) => topic.id === id));
  if (unknown !== undefined) {
    console.error(`report: no topic "${unknown}"; the topics are ${topics.map(({ id }) => id).join(', ')}`);
    return 2;
  }
  const start = performance.now();
  const chapters: Chapter[] = [];
  for (const topic of topics.filter(({ id, checks }) => wanted.includes(id) && checks.length > 0)) {
    const from = performance.now();
    const measured: Measured[] = [];
    for (const check of topic.checks) measured.push({ check, values: await check.measure() });
    const figures = [...(await figuresOf(measured)), ...((await more[topic.id]?.()) ?? [])];
    chapters.push({ topic, measured, figures });
    console.error(`${topic.id.padEnd(14)}${((performance.now() - from) / 1000).toFixed(1).padStart(6)} s`);
  }
  const engine = readFileSync(join(root, 'src/engine/runtime/engine.wasm'));
  const html = pageOf(chapters, {
    bytes: engine.length,
    hash: createHash('sha256').update(engine).digest('hex').slice(0, 12),
    node: process.versions.node,
    date: new Date().toISOString().slice(0, 10),
    seconds: (performance.now() - start) / 1000,
  });
  const file = resolve(values.out ?? join(root, '.cache/report/index.html'));
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, html);
  console.log(file);
  return 0;
}
