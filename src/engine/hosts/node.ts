/** The in-process host: the engine module in Node (command line, tests). */
import { readFileSync } from 'node:fs';

/** Compiles the module from a file; a Buffer is passed as it is, since its pooled memory must not be taken whole. */
export function engineModuleFrom(file: string | URL): WebAssembly.Module {
  return new WebAssembly.Module(readFileSync(file));
}
