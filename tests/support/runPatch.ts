/** Runs a whole patch in the engine that ships, with signals written straight into chosen inputs. */
import { specs } from '../../src/blocks/specs.gen.ts';
import { Engine } from '../../src/engine/hosts/engine.ts';
import { loadRecordings, type RecordedSound } from '../../src/engine/hosts/recordings.ts';
import { compilePlan } from '../../src/engine/plan/compile.ts';
import { type EngineEvent, settingEvents } from '../../src/engine/plan/events.ts';
import type { Plan } from '../../src/engine/plan/plan.ts';
import type { SettingValue } from '../../src/patch/blockSpec.ts';
import { type Patch, type Place, placeName } from '../../src/patch/document.ts';
import { engineModule } from './engine.ts';

export type Signal = number | Float32Array | ((frame: number) => number);

export interface PatchRun {
  /** Output rate in Hz; the engine runs at this times quality. */
  readonly sampleRate?: number;
  readonly quality?: 1 | 2 | 4 | 8;
  /** Engine frames. */
  readonly frames: number;
  /** Signals by input ("block.port"), per engine frame. */
  readonly feeds?: Readonly<Record<string, Signal>>;
  /** Lengths of the ranges in engine frames, 1..128, cycled. */
  readonly cuts?: readonly number[];
  readonly events?: readonly { block: string; frame: number; setting: string; value: SettingValue; glide?: number }[];
  readonly notes?: readonly { block: string; frame: number; code: number; a: number; b: number }[];
  /** Sound files by the id that settings name them with. */
  readonly recordings?: ReadonlyMap<string, RecordedSound>;
  /** Outputs to return ("block.port"). */
  readonly outputs: readonly string[];
  /** Called after each range of `count` engine frames. */
  readonly inspect?: (engine: Engine, plan: Plan, count: number) => void;
}

export function asPlace(name: string): Place {
  const dot = name.indexOf('.');
  return [name.slice(0, dot), name.slice(dot + 1)];
}

const value = (signal: Signal, frame: number): number =>
  typeof signal === 'number' ? signal : typeof signal === 'function' ? signal(frame) : (signal[frame] ?? 0);

/** Volts by output, at the engine rate, before any decimation. */
export function runPatch(patch: Patch, run: PatchRun): { out: Record<string, Float32Array<ArrayBuffer>>; plan: Plan; engine: Engine } {
  const rate = run.sampleRate ?? 48000;
  const quality = run.quality ?? 1;
  const engine = new Engine(engineModule(), rate, quality);
  const feeds = Object.entries(run.feeds ?? {});
  const taps = run.outputs.map(asPlace).filter(([id, port]) => {
    const spec = specs.find(({ type }) => type === patch.blocks.find((block) => block.id === id)?.type);
    return spec?.bus?.left !== port && spec?.bus?.right !== port;
  });
  const { loaded, end } = loadRecordings(engine, engine.arenaStart, run.recordings ?? new Map());
  const plan = compilePlan(patch, engine.catalogue(specs), {
    rate,
    quality,
    base: end,
    recordings: loaded,
    feeds: feeds.map(([name]) => asPlace(name)),
    taps: taps.map((at) => ({ at, peaksOnly: true })),
  });
  engine.reserve(plan.base + plan.totalBytes);
  engine.load(plan);
  const placed = (id: string) => {
    const block = plan.blocks.get(id);
    if (!block) throw new Error(`No block ${id} in the plan.`);
    return block;
  };
  const events: EngineEvent[] = [
    ...(run.events ?? []).flatMap((event) => settingEvents(placed(event.block), event.setting, event.value, event.frame, event.glide ?? 0)),
    ...(run.notes ?? []).map(({ block, ...note }) => ({ kind: 'message' as const, block: placed(block).address, ...note })),
  ].sort((a, b) => a.frame - b.frame);
  for (const event of events) if (!engine.send(event)) throw new Error('More events than the runtime holds.');
  const out = Object.fromEntries(run.outputs.map((name) => [name, new Float32Array(run.frames)]));
  const address = (name: string): number => {
    const signal = plan.signals.get(name);
    if (signal === undefined) throw new Error(`No output ${name} in the plan.`);
    return signal;
  };
  const signals = run.outputs.map((name) => engine.signal(address(name)));
  const feedSignals = feeds.map(([name]) => engine.signal(plan.feeds.get(placeName(asPlace(name))) as number));
  const cuts = run.cuts ?? [128];
  for (let at = 0, k = 0; at < run.frames; k++) {
    const count = Math.min(cuts[k % cuts.length] as number, run.frames - at, 128);
    for (const [i, [, signal]] of feeds.entries()) {
      for (let n = 0; n < count; n++) (feedSignals[i] as Float32Array)[n] = value(signal, at + n);
    }
    engine.exports.runFrames(count);
    run.inspect?.(engine, plan, count);
    for (const [i, name] of run.outputs.entries()) out[name]?.set((signals[i] as Float32Array).subarray(0, count), at);
    at += count;
  }
  return { out, plan, engine };
}
