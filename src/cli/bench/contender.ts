/** Ways to render the reference voice, each timed by itself, so that their runs can be interleaved. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';

export interface Contender {
  readonly id: string;
  readonly title: string;
  /** Renders the voice once; returns the seconds of computing that one second of sound took. */
  run(): Promise<number>;
  close(): Promise<void>;
}

/** Why a contender does not take part. */
export interface Absent {
  readonly id: string;
  readonly why: string;
}

const absent = (id: string, fault: unknown): Absent => ({
  id,
  why: String(fault instanceof Error ? fault.message : fault).split('\n')[0] ?? '',
});

/** The voice as Web Audio nodes in Node (the npm package node-web-audio-api), in a process of its own. */
export async function nodeWebAudio(folder: string, seconds: number): Promise<Contender | Absent> {
  const id = 'nodeWebAudio';
  const child: ChildProcess = spawn(process.execPath, [join(folder, 'webaudio.mjs'), String(seconds)], { stdio: ['pipe', 'pipe', 'pipe'] });
  const { stdin, stdout, stderr } = child;
  if (!stdin || !stdout || !stderr) return absent(id, 'no pipes');
  let complaint = '';
  stderr.on('data', (data: Buffer) => {
    complaint += data.toString();
  });
  const lines = createInterface({ input: stdout })[Symbol.asyncIterator]();
  stdin.on('error', () => {});
  const run = async (): Promise<number> => {
    stdin.write('\n');
    const { value, done } = await lines.next();
    if (done) throw new Error(/^.*Error.*$/m.exec(complaint)?.[0] ?? 'ended early');
    return Number(value) / seconds;
  };
  try {
    await run();
  } catch (fault) {
    return absent(id, fault);
  }
  return {
    id,
    title: 'node-web-audio-api',
    run,
    close: async () => {
      stdin.end();
    },
  };
}

/** The voice as plain C kernels, where there is a C compiler. */
export async function plainC(folder: string, seconds: number): Promise<Contender | Absent> {
  const id = 'plainC';
  const work = mkdtempSync(join(tmpdir(), 'sketchbook-bench-'));
  const program = join(work, 'voice');
  const march = process.arch === 'x64' ? ['-march=x86-64-v2'] : [];
  try {
    execFileSync('cc', ['-O3', ...march, join(folder, 'voice.c'), '-lm', '-o', program], { stdio: 'pipe' });
  } catch (fault) {
    rmSync(work, { recursive: true, force: true });
    return absent(id, fault instanceof Error && 'code' in fault && fault.code === 'ENOENT' ? 'no C compiler (cc)' : fault);
  }
  return {
    id,
    title: 'plain C kernels',
    run: async () => {
      // The program prints seconds to a millisecond and a rounded ratio: long enough a sound keeps the error below 1 %.
      const printed = execFileSync(program, [String(Math.max(seconds, 60)), 'c'], { encoding: 'utf8' });
      const took = /: ([\d.]+)s/.exec(printed)?.[1];
      if (took === undefined) throw new Error(`unreadable: ${printed}`);
      return Number(took) / Math.max(seconds, 60);
    },
    close: async () => rmSync(work, { recursive: true, force: true }),
  };
}

/** The voice in Chromium's OfflineAudioContext. */
export async function chromium(folder: string, seconds: number, executablePath: string | undefined): Promise<Contender | Absent> {
  const id = 'chromium';
  if (executablePath === undefined) return absent(id, 'no Chromium found');
  try {
    const playwright = await import('playwright-core');
    const browser = await playwright.chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu', '--no-first-run'] });
    const page = await browser.newPage();
    const graph = readFileSync(join(folder, 'voice-webaudio.js'), 'utf8');
    await page.addScriptTag({ type: 'module', content: `${graph}\nwindow.buildGraph = buildGraph;` });
    const run = (): Promise<number> =>
      page.evaluate(async (length) => {
        const context = new OfflineAudioContext(1, length * 48000, 48000);
        const { buildGraph } = window as unknown as { buildGraph(context: OfflineAudioContext, seconds: number): void };
        buildGraph(context, length);
        const from = performance.now();
        await context.startRendering();
        return (performance.now() - from) / 1000 / length;
      }, seconds);
    await run();
    return { id, title: `Chromium ${browser.version()} OfflineAudioContext`, run, close: () => browser.close() };
  } catch (fault) {
    return absent(id, fault);
  }
}
