import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { specs } from '../../blocks/specs.gen.ts';
import { engineModuleFrom } from '../../engine/hosts/node.ts';
import { type Take, type TakeOptions, TakeRenderer } from '../../engine/hosts/take.ts';
import { PlanRefused } from '../../engine/plan/plan.ts';
import { encodeWav, type WavFormat, wavFormats } from '../../notebook/wav.ts';
import { withoutBlocks } from '../../patch/commands/removeBlocks.ts';
import { DEFAULT_SECONDS, type Patch, type Place } from '../../patch/document.ts';
import { MAXIMUM_SECONDS } from '../../patch/limits.ts';
import { applyVariation } from '../../patch/variation.ts';
import { catalogue, nameOf, readDocument } from '../document.ts';
import { readRecordings } from '../recordings.ts';
import { outletsOf, takeReport } from '../report.ts';
import { wasmFile } from '../root.ts';
import { DONE, numberOption, type OptionValues, REFUSED, type Terminal, text, texts, type Verb, WrongUsage, wordOption } from '../verb.ts';
import { writeFile } from '../write.ts';

interface Tap {
  readonly at: Place;
  readonly file: string;
}

/** BLOCK.PORT=FILE, of an output that the patch has. */
function readTap(written: string, patch: Patch): Tap {
  const [, id, port, file] = /^([^.=]+)\.([^.=]+)=(.+)$/.exec(written) ?? [];
  if (id === undefined || port === undefined || file === undefined) {
    throw new WrongUsage(`--tap takes BLOCK.PORT=FILE.f32, not "${written}"`);
  }
  const block = patch.blocks.find((one) => one.id === id);
  if (!block) throw new WrongUsage(`--tap: there is no block "${id}" in this patch`);
  const outputs = catalogue.get(block.type)?.outputs.map((output) => output.id) ?? [];
  if (!outputs.includes(port)) throw new WrongUsage(`--tap: "${id}" has the outputs ${outputs.join(', ') || '(none)'}, not "${port}"`);
  return { at: [id, port], file };
}

function varied(patch: Patch, id: string | undefined): Patch {
  if (id === undefined) return patch;
  const variation = patch.variations?.find((one) => one.id === id);
  if (variation) return applyVariation(patch, variation);
  const ids = (patch.variations ?? []).map((one) => one.id);
  throw new WrongUsage(`--variation: this patch has ${ids.length > 0 ? `the variations ${ids.join(', ')}` : 'no variations'}, not "${id}"`);
}

interface Timed {
  readonly take: Take;
  /** Seconds of computing. */
  readonly took: number;
}

/** Renders with a progress line twenty times a second or so. */
function renderWithProgress(module: WebAssembly.Module, patch: Patch, options: TakeOptions, terminal: Terminal, what: string): Timed {
  const renderer = new TakeRenderer(module, specs, patch, options);
  const from = performance.now();
  let shown = from;
  while (!renderer.done) {
    renderer.advance(8192);
    const now = performance.now();
    if (now - shown < 50) continue;
    shown = now;
    terminal.progress(`${what} ${Math.floor(100 * renderer.progress)} %`);
  }
  terminal.progress('');
  return { take: renderer.result(), took: (performance.now() - from) / 1000 };
}

/** The patch as heard through one of its outlets alone. */
function onlyOutlet(patch: Patch, id: string): Patch {
  return withoutBlocks(patch, new Set(outletsOf(patch).filter((other) => other !== id)));
}

function rawFloats(frames: Float32Array): Uint8Array {
  // Little-endian whatever the machine.
  const bytes = new Uint8Array(frames.length * 4);
  const view = new DataView(bytes.buffer);
  for (const [i, volts] of frames.entries()) view.setFloat32(i * 4, volts, true);
  return bytes;
}

interface Job {
  readonly patch: Patch;
  readonly options: TakeOptions & Required<Pick<TakeOptions, 'seconds' | 'rate' | 'quality'>>;
  readonly format: WavFormat;
  readonly taps: readonly Tap[];
}

function readJob(patch: Patch, options: OptionValues): Job {
  const qualities = ['1', '2', '4', '8'] as const;
  return {
    patch,
    options: {
      seconds: numberOption(options, 'seconds', 0, MAXIMUM_SECONDS) ?? patch.seconds ?? DEFAULT_SECONDS,
      rate: wholeRate(numberOption(options, 'rate', 44100, 192000) ?? 48000),
      quality: Number(wordOption(options, 'quality', qualities) ?? '1') as 1 | 2 | 4 | 8,
    },
    format: wordOption(options, 'format', wavFormats) ?? 'float',
    taps: texts(options, 'tap').map((written) => readTap(written, patch)),
  };
}

function wholeRate(rate: number): number {
  if (Number.isInteger(rate)) return rate;
  throw new WrongUsage(`--rate takes a whole number of hertz, not ${rate}`);
}

function perform({ patch, options, format, taps }: Job, values: OptionValues, terminal: Terminal): void {
  const module = engineModuleFrom(wasmFile);
  const { take, took } = renderWithProgress(module, patch, { ...options, taps: taps.map(({ at }) => ({ at })) }, terminal, 'rendering');
  for (const id of take.faults) terminal.err(`render: the block "${id}" gave numbers that are no voltages and was muted`);
  const out = text(values, 'out');
  if (out !== undefined) writeFile(out, encodeWav([take.left, take.right], take.rate, format));
  for (const [i, tap] of taps.entries()) writeFile(tap.file, rawFloats(take.taps[i] ?? new Float32Array(0)));
  const stems = text(values, 'stems');
  if (stems !== undefined) {
    mkdirSync(stems, { recursive: true });
    for (const id of outletsOf(patch)) {
      const stem = renderWithProgress(module, onlyOutlet(patch, id), options, terminal, `stem ${id}`).take;
      writeFile(join(stems, `${id}.wav`), encodeWav([stem.left, stem.right], stem.rate, format));
    }
  }
  const report = text(values, 'report');
  if (report !== undefined) {
    const measured = takeReport(module, patch, options, take, took);
    writeFile(report, `${JSON.stringify(measured, null, 2)}\n`);
  }
  if (out === undefined && report === undefined && stems === undefined && taps.length === 0) {
    terminal.err(`render: nothing was asked for; --out, --tap, --stems or --report name what to write`);
  }
}

export const render: Verb = {
  usage:
    'FILE [--seconds N] [--out take.wav] [--rate 48000] [--quality 1|2|4|8] [--format 16|24|float] [--variation ID] [--tap BLOCK.PORT=FILE.f32]... [--report FILE.json] [--stems DIR]',
  say: 'renders a take, the same samples as in the browser; a stem is what one output block alone gives',
  options: {
    seconds: { type: 'string' },
    out: { type: 'string' },
    rate: { type: 'string' },
    quality: { type: 'string' },
    format: { type: 'string' },
    variation: { type: 'string' },
    tap: { type: 'string', multiple: true },
    report: { type: 'string' },
    stems: { type: 'string' },
  },
  takes: [1, 1],
  run: ([file = ''], options, terminal) => {
    const document = readDocument(file, terminal);
    if (!document) return REFUSED;
    const job = readJob(varied(document, text(options, 'variation')), options);
    const recordings = readRecordings(file, job.patch, terminal);
    if (!recordings) return REFUSED;
    try {
      perform({ ...job, options: { ...job.options, recordings } }, options, terminal);
    } catch (fault) {
      if (!(fault instanceof PlanRefused)) throw fault;
      terminal.err(`${nameOf(file)}: ${fault.message}`);
      return REFUSED;
    }
    return DONE;
  },
};
