import { readFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { findChromium } from '../../../.ci/setup.mjs';
import { specs } from '../../blocks/specs.gen.ts';
import { engineModuleFrom } from '../../engine/hosts/node.ts';
import type { Patch } from '../../patch/document.ts';
import { type Absent, type Contender, chromium, nodeWebAudio, plainC } from '../bench/contender.ts';
import { compare, type Growth, type LoopCost, measureGrowth, measureLoops, ourEngine, type Standing } from '../bench/measure.ts';
import { root, wasmFile } from '../root.ts';
import { DONE, numberOption, type Verb } from '../verb.ts';

const sizes = [25, 100, 250, 500, 1000];

interface Report {
  readonly machine: { readonly processor: string; readonly node: string };
  readonly seconds: number;
  readonly repeats: number;
  readonly voice: readonly Standing[];
  readonly absent: readonly Absent[];
  readonly growth: readonly Growth[];
  readonly loops: readonly LoopCost[];
}

function table({ voice, absent, growth, loops, machine, seconds, repeats }: Report): string {
  const row = (name: string, ...figures: string[]): string =>
    `  ${name.padEnd(44)}${figures.map((figure, i) => figure.padStart(i === 0 ? 12 : 26)).join('')}`;
  return [
    `Reference voice at 48 kHz, quality 1: medians of ${repeats} interleaved runs of ${seconds} s (${machine.processor}, Node ${machine.node})`,
    row('', 'x realtime', 'engine is'),
    ...voice.map(({ title, realtime, engineRatio }) => row(title, realtime.toFixed(0), `${engineRatio.toFixed(2)} x`)),
    ...absent.map(({ id, why }) => row(id, 'absent', ` ${why}`)),
    '',
    'Growth: copies of the voice',
    row('blocks', 'x realtime', 'ns per block and frame'),
    ...growth.map(({ blocks, realtime, nanosecondsPerBlock }) => row(String(blocks), realtime.toFixed(1), nanosecondsPerBlock.toFixed(2))),
    '',
    'Loops, frame by frame',
    row('', 'x realtime', 'open'),
    ...loops.map(({ title, openRealtime, loopedRealtime, ratio }) =>
      row(title, loopedRealtime.toFixed(0), `${openRealtime.toFixed(0)}: ${ratio.toFixed(2)} x the work`),
    ),
  ].join('\n');
}

export const bench: Verb = {
  usage: '[--seconds N] [--repeats N] [--json]',
  say: 'measures the engine beside other ways to compute the same voice, in one run',
  options: { json: { type: 'boolean' }, seconds: { type: 'string' }, repeats: { type: 'string' } },
  takes: [0, 0],
  run: async (_args, options, terminal) => {
    const seconds = numberOption(options, 'seconds', 0.1, 600) ?? 20;
    const repeats = Math.round(numberOption(options, 'repeats', 1, 100) ?? 5);
    const folder = join(root, 'tests/bench');
    const voice = JSON.parse(readFileSync(join(folder, 'voice.patch.json'), 'utf8')) as Patch;
    const module = engineModuleFrom(wasmFile);
    const others = [await chromium(folder, seconds, findChromium()), await nodeWebAudio(folder, seconds), await plainC(folder, seconds)];
    const isContender = (other: Contender | Absent): other is Contender => 'run' in other;
    const contenders = [ourEngine(module, specs, voice, seconds), ...others.filter(isContender)];
    // The others had a first run as well: compilers warm up.
    await contenders[0]?.run();
    try {
      const standings = await compare(contenders, repeats, (round) => terminal.progress(`voice ${round + 1}/${repeats}`));
      terminal.progress('growth');
      const growth = measureGrowth(module, specs, voice, sizes, repeats);
      terminal.progress('loop');
      const loops = measureLoops(module, specs, voice, seconds, repeats);
      const machine = { processor: cpus()[0]?.model ?? '', node: process.versions.node };
      const report: Report = {
        machine,
        seconds,
        repeats,
        voice: standings,
        absent: others.filter((other): other is Absent => !isContender(other)),
        growth,
        loops,
      };
      terminal.out(options.json ? JSON.stringify(report, null, 2) : table(report));
    } finally {
      for (const contender of contenders) await contender.close();
    }
    return DONE;
  },
};
