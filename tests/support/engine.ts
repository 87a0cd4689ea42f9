/** The shipped engine module, for tests that run in Node. */
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

// Not `new URL(path, import.meta.url)`: in tests with a page the bundler takes that for an address of the page.
const file = join(dirname(fileURLToPath(import.meta.url)), '../../src/engine/runtime/engine.wasm');

let compiled: WebAssembly.Module | undefined;

export function engineModule(): WebAssembly.Module {
  compiled ??= new WebAssembly.Module(readFileSync(file));
  return compiled;
}
