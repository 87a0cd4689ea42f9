/** The shipped engine module, for tests that run in Node. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const file = fileURLToPath(new URL('../../src/engine/runtime/engine.wasm', import.meta.url));

let compiled: WebAssembly.Module | undefined;

export function engineModule(): WebAssembly.Module {
  compiled ??= new WebAssembly.Module(readFileSync(file));
  return compiled;
}
