/** What `render --report` says of a take. */
import { specs } from '../blocks/specs.gen.ts';
import { type Take, type TakeOptions, TakeRenderer } from '../engine/hosts/take.ts';
import { FULL_SCALE_VOLTS, levelsOf, toDb } from '../measure/levels.ts';
import { integratedLoudness } from '../measure/loudness.ts';
import { truePeakOf } from '../measure/truePeak.ts';
import type { Block, Patch } from '../patch/document.ts';
import { catalogue } from './document.ts';

export interface ReportFinding {
  readonly id: string;
  readonly severity: string;
  readonly block: string | undefined;
  readonly say: string;
}

export interface TakeReport {
  readonly seconds: number;
  /** Seconds of sound per second of computing. */
  readonly realtimeRatio: number;
  /** Null for silence. */
  readonly peakDbfs: number | null;
  readonly truePeakDbtp: number | null;
  /** Null for silence and for less than 0.4 s. */
  readonly loudnessLufs: number | null;
  /** Means of what the outputs carry, before their dc blocks. */
  readonly dcVolts: { readonly left: number; readonly right: number };
  readonly findings: readonly ReportFinding[];
}

/** A level to a thousandth of a decibel; JSON has no minus infinity. */
function level(db: number | undefined): number | null {
  return db !== undefined && Number.isFinite(db) ? Math.round(db * 1000) / 1000 : null;
}

/** The patch with everything switched off that its outputs do to the sum besides their level. */
function withoutBlocking(patch: Patch): Patch {
  const bare = (block: Block): Block => {
    const bus = catalogue.get(block.type)?.bus;
    return bus ? { ...block, settings: { ...block.settings, [bus.dcBlock]: false, [bus.ceiling]: false } } : block;
  };
  return { ...patch, blocks: patch.blocks.map(bare) };
}

function directVolts(module: WebAssembly.Module, patch: Patch, options: TakeOptions): TakeReport['dcVolts'] {
  const renderer = new TakeRenderer(module, specs, withoutBlocking(patch), options);
  renderer.advance(Number.POSITIVE_INFINITY);
  const { left, right } = renderer.result();
  // To a microvolt: what lies below is rounding of the samples.
  const volts = (channel: Float32Array): number => Math.round(levelsOf(channel).dc * FULL_SCALE_VOLTS * 1e6) / 1e6;
  return { left: volts(left), right: volts(right) };
}

/** Measures a take that took `took` seconds to render; `findings` are those of the patch. */
export function takeReport(
  module: WebAssembly.Module,
  patch: Patch,
  options: TakeOptions & { readonly seconds: number },
  take: Take,
  took: number,
  findings: readonly ReportFinding[],
): TakeReport {
  const channels = [take.left, take.right];
  const faults = take.faults.map((block) => ({
    id: 'fault',
    severity: 'error',
    block,
    say: `The block "${block}" gave numbers that are no voltages and was muted.`,
  }));
  return {
    seconds: options.seconds,
    realtimeRatio: Math.round((options.seconds / took) * 10) / 10,
    peakDbfs: level(toDb(Math.max(...channels.map((channel) => levelsOf(channel).peak)))),
    truePeakDbtp: level(toDb(Math.max(...channels.map(truePeakOf)))),
    loudnessLufs: level(integratedLoudness(channels, take.rate)),
    dcVolts: directVolts(module, patch, options),
    findings: [...findings, ...faults],
  };
}
