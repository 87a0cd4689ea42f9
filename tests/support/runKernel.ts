/** Runs one block alone, in the engine that ships, with signals written straight into its inputs. */
import { outputIds } from '../../src/engine/plan/layout.ts';
import type { BlockSpec, SettingValue } from '../../src/patch/blockSpec.ts';
import { type PatchRun, runPatch, type Signal } from './runPatch.ts';

export type { Signal } from './runPatch.ts';

export interface KernelRun extends Pick<PatchRun, 'sampleRate' | 'quality' | 'frames' | 'cuts' | 'inspect' | 'recordings'> {
  readonly settings?: Readonly<Record<string, SettingValue>>;
  /** By input id, per engine frame; inputs that are left out are unpatched. */
  readonly inputs?: Readonly<Record<string, Signal>>;
  readonly seed?: number;
  readonly id?: string;
  readonly events?: readonly { frame: number; setting: string; value: SettingValue; glide?: number }[];
  readonly notes?: readonly { frame: number; code: number; a: number; b: number }[];
  /** Outputs that are read; all if left out. */
  readonly outputs?: readonly string[];
}

/**
 * Output volts by output id (hidden bus outputs too), at the engine rate. The block runs at `quality` in every respect,
 * but its signals are read before any decimation.
 */
export async function runKernel(spec: BlockSpec, run: KernelRun): Promise<Record<string, Float32Array<ArrayBuffer>>> {
  const id = run.id ?? 'block1';
  const outputs = run.outputs ?? outputIds(spec);
  const { out } = runPatch(
    { seed: run.seed ?? 1, blocks: [{ id, type: spec.type, settings: run.settings ?? {} }], cables: [] },
    {
      frames: run.frames,
      ...(run.sampleRate === undefined ? {} : { sampleRate: run.sampleRate }),
      ...(run.quality === undefined ? {} : { quality: run.quality }),
      ...(run.cuts === undefined ? {} : { cuts: run.cuts }),
      ...(run.inspect === undefined ? {} : { inspect: run.inspect }),
      ...(run.recordings === undefined ? {} : { recordings: run.recordings }),
      feeds: Object.fromEntries(Object.entries(run.inputs ?? {}).map(([input, signal]) => [`${id}.${input}`, signal])),
      events: (run.events ?? []).map((event) => ({ block: id, ...event })),
      notes: (run.notes ?? []).map((note) => ({ block: id, ...note })),
      outputs: outputs.map((port) => `${id}.${port}`),
    },
  );
  return Object.fromEntries(outputs.map((port) => [port, out[`${id}.${port}`] as Float32Array<ArrayBuffer>]));
}
