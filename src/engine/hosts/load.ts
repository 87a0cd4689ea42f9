/** The engine module in the browser, compiled once. [page] */
import wasmUrl from '../runtime/engine.wasm?url&no-inline';

let loading: Promise<WebAssembly.Module> | undefined;

export function engineModule(): Promise<WebAssembly.Module> {
  loading ??= compile();
  return loading;
}

/** Falls back to plain bytes where a web server sends another type than application/wasm. */
async function compile(): Promise<WebAssembly.Module> {
  const response = await fetch(wasmUrl);
  if (!response.ok) throw new Error('The sound engine could not be loaded. Reload the page.');
  return WebAssembly.compile(await response.arrayBuffer());
}
