/**
 * Lints and formats the AssemblyScript sources (kernels, src/dsp, the runtime) with the rules of biome.json.
 * Biome takes a decorator on a function for a syntax error, so it sees a copy in which those decorators are comments.
 * `node .ci/kernels.mjs [--write]`
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const write = process.argv.includes('--write');

const isTest = (name) => /\.(test|gen)\.ts$/.test(name);

function filesUnder(folder, wanted) {
  return readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts') && !isTest(entry.name) && wanted(entry.name))
    .map((entry) => relative(root, join(entry.parentPath ?? entry.path, entry.name)));
}

const files = [
  ...filesUnder('src/dsp', () => true),
  ...filesUnder('src/engine/runtime', () => true),
  ...filesUnder('src/blocks', (name) => name === 'kernel.ts'),
];

/** Top-level decorators become comments and back: `@inline` in front of a function, a constant or on the same line. */
const hide = (text) => text.replace(/^@(inline|lazy|unsafe|builtin|global)\s+/gm, '//@$1\n');
const show = (text) => text.replace(/^\/\/ ?@(inline|lazy|unsafe|builtin|global)$/gm, '@$1');

const copy = mkdtempSync(join(tmpdir(), 'sketchbook-kernels-'));
let status = 1;
try {
  const config = JSON.parse(readFileSync(join(root, 'biome.json'), 'utf8'));
  delete config.$schema;
  config.vcs = { enabled: false };
  config.files.includes = ['**'];
  writeFileSync(join(copy, 'biome.json'), JSON.stringify(config));
  for (const file of files) {
    mkdirSync(dirname(join(copy, file)), { recursive: true });
    writeFileSync(join(copy, file), hide(readFileSync(join(root, file), 'utf8')));
  }
  const biome = join(root, 'node_modules/@biomejs/biome/bin/biome');
  const run = (...args) => spawnSync(process.execPath, [biome, 'check', ...args, 'src'], { cwd: copy, stdio: 'inherit' }).status ?? 1;
  // Only the layout is written: what is a safe fix in TypeScript may not be one in AssemblyScript.
  if (write) run('--write', '--linter-enabled=false');
  status = run('--max-diagnostics=50', '--error-on-warnings', ...(process.stdout.isTTY ? [] : ['--colors=off']));
  if (write) {
    for (const file of files) {
      const text = show(readFileSync(join(copy, file), 'utf8'));
      if (text !== readFileSync(join(root, file), 'utf8')) writeFileSync(join(root, file), text);
    }
  }
} finally {
  rmSync(copy, { recursive: true, force: true });
}
process.exitCode = status;
