/**
 * Builds the engine: generated lists and layouts from the block folders, then the WebAssembly module.
 * Does nothing when no source changed. `npm run engine`.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '../../..');
const src = join(root, 'src');
const wasmFile = join(src, 'engine/runtime/engine.wasm');
const stampFile = join(root, '.cache/engine.stamp');

/** All sources that decide the module and the lists. */
function sources() {
  const files = [];
  const walk = (dir) => {
    for (const entry of readdirSync(dir, { withFileTypes: true })) {
      const path = join(dir, entry.name);
      if (entry.isDirectory()) walk(path);
      else if (/\.(ts|mjs|md|json)$/.test(entry.name) && !/\.gen\.ts$|\.test\.ts$/.test(entry.name)) files.push(path);
    }
  };
  for (const dir of ['dsp', 'blocks', 'engine/runtime', 'engine/build', 'engine/plan', 'patch']) walk(join(src, dir));
  return files.sort();
}

function stamp(files) {
  const hash = createHash('sha256');
  for (const file of files) hash.update(relative(root, file)).update(readFileSync(file));
  return hash.digest('hex');
}

function writeIfChanged(file, text) {
  if (existsSync(file) && readFileSync(file, 'utf8') === text) return;
  writeFileSync(file, text);
}

async function build() {
  const files = sources();
  const now = stamp(files);
  if (existsSync(wasmFile) && existsSync(stampFile) && readFileSync(stampFile, 'utf8') === now) return;
  const { runnerImport } = await import('vite');
  const load = async (file) => (await runnerImport(join(src, file), { configFile: false, root, logLevel: 'error' })).module;
  const types = readdirSync(join(src, 'blocks'), { withFileTypes: true })
    .filter(
      (entry) =>
        entry.isDirectory() && ['spec.ts', 'kernel.ts', 'symbol.ts'].every((file) => existsSync(join(src, 'blocks', entry.name, file))),
    )
    .map((entry) => entry.name)
    .sort();
  writeIfChanged(join(src, 'blocks/specs.gen.ts'), (await load('engine/build/generate.ts')).specListSource(types));
  const generate = await load('engine/build/generate.ts');
  const { specs } = await load('blocks/specs.gen.ts');
  const kernels = types.map((type) => generate.kernelFunctions(readFileSync(join(src, 'blocks', type, 'kernel.ts'), 'utf8')));
  const docs = types.map((type) => {
    const file = join(src, 'blocks', type, 'docs.md');
    return [type, existsSync(file) ? readFileSync(file, 'utf8') : ''];
  });
  writeIfChanged(join(src, 'blocks/symbols.gen.ts'), generate.symbolListSource(types));
  writeIfChanged(join(src, 'blocks/docs.gen.ts'), generate.docsListSource(docs));
  writeIfChanged(join(src, 'blocks/layouts.gen.ts'), generate.layoutsSource(specs));
  writeIfChanged(join(src, 'engine/runtime/kernels.gen.ts'), generate.kernelTableSource(specs, kernels));
  const asc = (await import('assemblyscript/asc')).default;
  const { error, stderr } = await asc.main(
    [
      'src/engine/runtime/index.ts',
      '--config',
      'none',
      '--baseDir',
      root,
      '--outFile',
      'src/engine/runtime/engine.wasm',
      '-O3',
      '--converge',
      '--noAssert',
      '--runtime',
      'stub',
      '--enable',
      'simd',
      '--use',
      'abort=',
      '--exportTable',
    ],
    {},
  );
  if (error) {
    process.stderr.write(`${stderr}\n${error.message}\n`);
    process.exit(1);
  }
  mkdirSync(dirname(stampFile), { recursive: true });
  writeFileSync(stampFile, now);
}

await build();
