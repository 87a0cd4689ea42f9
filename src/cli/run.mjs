/**
 * `npm run -s cli -- VERB ...`: brings the bundle up to date, silently, and runs it.
 * While no source has changed this costs a walk over the sources' times and nothing else.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const bundle = join(root, '.cache/cli/cli.mjs');
const stampFile = join(root, '.cache/cli/stamp');
const wasm = join(root, 'src/engine/runtime/engine.wasm');

/** Name, time and size of every source, generated files, tests and the page left out. */
function stamp() {
  const lines = [];
  const walk = (folder) => {
    for (const entry of readdirSync(folder, { withFileTypes: true })) {
      const path = join(folder, entry.name);
      if (entry.isDirectory()) walk(path);
      else if (/\.(ts|mjs|md|json|css)$/.test(entry.name) && !/\.(gen|test)\.ts$/.test(entry.name)) {
        const { mtimeMs, size } = statSync(path);
        lines.push(`${path} ${mtimeMs} ${size}`);
      }
    }
  };
  for (const folder of readdirSync(join(root, 'src'), { withFileTypes: true })) {
    if (folder.isDirectory() && folder.name !== 'app') walk(join(root, 'src', folder.name));
  }
  for (const file of ['package-lock.json', '.ci/setup.mjs']) lines.push(String(statSync(join(root, file)).mtimeMs));
  return lines.join('\n');
}

const now = stamp();
if (!existsSync(wasm) || !existsSync(bundle) || !existsSync(stampFile) || readFileSync(stampFile, 'utf8') !== now) {
  const { buildCli } = await import('./build.mjs');
  await buildCli(root, dirname(bundle));
  mkdirSync(dirname(stampFile), { recursive: true });
  writeFileSync(stampFile, now);
}
const { main } = await import(pathToFileURL(bundle).href);
process.exitCode = await main(process.argv.slice(2));
