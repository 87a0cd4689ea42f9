/**
 * `npm start`: brings everything, builds the page, serves it on this machine and opens it.
 * `npm start -- --no-open` opens no browser; `--built` serves the page as it was built last.
 */
import { spawn } from 'node:child_process';
import { buildEngine, buildPage, checkNode, freePort, installPackages, root, stop } from './setup.mjs';

/** Opens the default browser where there is a display; a machine without one is no fault. */
function open(address) {
  const headless = process.platform === 'linux' && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY;
  if (headless || process.env.CI) return;
  const commands = { darwin: ['open', address], win32: ['cmd', '/c', 'start', '', address] };
  const [program, ...args] = commands[process.platform] ?? ['xdg-open', address];
  const opened = spawn(program, args, { stdio: 'ignore', detached: true });
  opened.on('error', () => {});
  opened.unref();
}

checkNode();
installPackages();
if (!process.argv.includes('--built')) {
  console.log('Building ...');
  buildEngine();
  buildPage();
}
const { preview } = await import('vite');
const port = await freePort(4173);
const server = await preview({ root, logLevel: 'warn', preview: { port, strictPort: true } }).catch((fault) => stop(fault.message));
const address = server.resolvedUrls?.local[0] ?? `http://localhost:${port}/`;
console.log(`\nSignal Sketchbook is at  ${address}\nStop it with Ctrl-C.`);
if (!process.argv.includes('--no-open')) open(address);

for (const signal of ['SIGINT', 'SIGTERM']) {
  process.once(signal, () => {
    void server.close();
    process.exit(0);
  });
}
