/** Set-up shared by `npm start`, `npm test` and `.ci/run`: Node itself, packages, engine, page, browser. No dependencies. */
import { spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { createServer } from 'node:net';
import { homedir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/** Ends the program with a plain sentence. */
export function stop(sentence) {
  console.error(sentence);
  process.exit(1);
}

/** Runs a program in the project with its output shown; stops with a sentence when it fails. */
export function run(what, program, args, options = {}) {
  const done = spawnSync(program, args, { cwd: root, stdio: ['ignore', 'inherit', 'inherit'], ...options });
  if (done.error || done.status !== 0) stop(`${what} failed${done.error ? `: ${done.error.message}` : ''}.`);
}

/** Stops unless Node is at least as new as package.json asks for. */
export function checkNode() {
  const wanted = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).engines.node.replace('>=', '');
  const parts = (version) => version.split('.').map(Number);
  const [major = 0, minor = 0] = parts(process.versions.node);
  const [wantedMajor = 0, wantedMinor = 0] = parts(wanted);
  if (major > wantedMajor || (major === wantedMajor && minor >= wantedMinor)) return;
  stop(`Signal Sketchbook needs Node ${wanted} or newer; this is Node ${process.versions.node}. See https://nodejs.org/`);
}

/** Installs the packages when they are missing or older than package-lock.json. */
export function installPackages() {
  const installed = join(root, 'node_modules/.package-lock.json');
  const lock = join(root, 'package-lock.json');
  if (existsSync(installed) && statSync(installed).mtimeMs >= statSync(lock).mtimeMs) return;
  console.log('Installing packages (once; about a minute) ...');
  const npm = process.env.npm_execpath;
  // Without npm's own hints about funding and audits; development packages are needed to build the page.
  const args = ['ci', '--include=dev', '--no-fund', '--no-audit'];
  if (npm && /\.c?js$/.test(npm)) run('npm ci', process.execPath, [npm, ...args]);
  else run('npm ci', 'npm', args, { shell: process.platform === 'win32' });
}

export function buildEngine() {
  run('Building the engine', process.execPath, ['src/engine/build/build.mjs']);
}

export function buildPage() {
  run('Building the page', process.execPath, ['node_modules/vite/bin/vite.js', 'build', '--logLevel', 'warn']);
}

/** The first free port from `first` on. */
export async function freePort(first) {
  for (let port = first; port < first + 200; port++) {
    const free = await new Promise((answer) => {
      const probe = createServer()
        .once('error', () => answer(false))
        .once('listening', () => probe.close(() => answer(true)))
        .listen(port);
    });
    if (free) return port;
  }
  return stop(`No free port from ${first} to ${first + 199}.`);
}

function onPath(name) {
  for (const folder of (process.env.PATH ?? '').split(delimiter)) {
    const file = join(folder, name);
    try {
      accessSync(file, constants.X_OK);
      if (statSync(file).isFile()) return file;
    } catch {
      // not here
    }
  }
  return undefined;
}

/** A Chromium in the cache of Playwright, the newest first. */
function inPlaywrightCache() {
  const folders = [
    process.env.PLAYWRIGHT_BROWSERS_PATH,
    join(homedir(), '.cache/ms-playwright'),
    join(homedir(), 'Library/Caches/ms-playwright'),
    join(homedir(), 'AppData/Local/ms-playwright'),
  ];
  const programs = [
    'chrome-linux/chrome',
    'chrome-linux64/chrome',
    'chrome-mac/Chromium.app/Contents/MacOS/Chromium',
    'chrome-win/chrome.exe',
    'chrome-win64/chrome.exe',
  ];
  for (const folder of folders) {
    if (!folder || !existsSync(folder)) continue;
    const versions = readdirSync(folder).filter((name) => /^chromium-\d+$/.test(name));
    versions.sort((a, b) => Number(b.slice(9)) - Number(a.slice(9)));
    for (const version of versions) {
      const found = programs.map((program) => join(folder, version, program)).find((file) => existsSync(file));
      if (found) return found;
    }
  }
  return undefined;
}

/** Path of a Chromium or Chrome on this machine: $CHROMIUM, the path, the usual places, Playwright's cache. */
export function findChromium() {
  if (process.env.CHROMIUM) return process.env.CHROMIUM;
  for (const name of ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome', 'chrome', 'microsoft-edge']) {
    const file = onPath(name);
    if (file) return file;
  }
  const places = [
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    'C:/Program Files/Google/Chrome/Application/chrome.exe',
    'C:/Program Files (x86)/Microsoft/Edge/Application/msedge.exe',
  ];
  return places.find((file) => existsSync(file)) ?? inPlaywrightCache();
}

/** Finds a Chromium, or installs Debian's, or says exactly what to do. */
export function needChromium() {
  const found = findChromium();
  if (found) return found;
  const isRoot = process.getuid?.() === 0;
  const sudo = !isRoot && onPath('sudo') !== undefined && spawnSync('sudo', ['-n', 'true'], { stdio: 'ignore' }).status === 0;
  if (onPath('apt-get') && (isRoot || sudo)) {
    console.log('Installing Chromium for the tests in the browser (once) ...');
    const apt = (...args) => {
      const command = ['env', 'DEBIAN_FRONTEND=noninteractive', 'apt-get', '-q', '-o', 'DPkg::Lock::Timeout=300', ...args];
      const [program, ...rest] = sudo ? ['sudo', '-n', ...command] : command;
      return spawnSync(program, rest, { stdio: ['ignore', 'ignore', 'inherit'] }).status === 0;
    };
    apt('update');
    apt('install', '-y', '--no-install-recommends', 'chromium');
    const installed = findChromium();
    if (installed) return installed;
  }
  return stop(
    [
      'The tests in the browser need Chromium or Chrome, and none was found.',
      'Install one and run npm test again, for instance:',
      '  Debian:  sudo apt-get update && sudo apt-get install chromium',
      'or name one that is elsewhere:',
      '  CHROMIUM=/path/to/chrome npm test',
    ].join('\n'),
  );
}
