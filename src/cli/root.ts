import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The project's folder: two above this file, and two above the bundle in .cache/cli/. */
export const root = join(dirname(fileURLToPath(import.meta.url)), '../..');

/** The compiled engine. */
export const wasmFile = join(root, 'src/engine/runtime/engine.wasm');
