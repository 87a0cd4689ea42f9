/** What can be measured of a take: for `render --report` and `check --seconds`. */
import { specs } from '../blocks/specs.gen.ts';
import { renderTake, type Take, type TakeOptions, TakeRenderer } from '../engine/hosts/take.ts';
import type { Finding } from '../insight/finding.ts';
import { findings } from '../insight/findings.ts';
import { createHearing, type Hearing } from '../insight/heard.ts';
import { hearForChecks, takeFindings } from '../insight/takeFindings.ts';
import { FULL_SCALE_VOLTS, levelsOf, toDb } from '../measure/levels.ts';
import { integratedLoudness } from '../measure/loudness.ts';
import { truePeakOf } from '../measure/truePeak.ts';
import type { Block, Patch } from '../patch/document.ts';
import { catalogue } from './document.ts';

/** A finding as JSON; `block` is null where it is about the patch as a whole. */
export interface FindingRecord {
  readonly id: string;
  readonly severity: string;
  readonly block: string | null;
  readonly say: string;
}

interface TakeReport {
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
  readonly findings: readonly FindingRecord[];
}

export function findingRecord({ id, severity, block, say }: Finding): FindingRecord {
  return { id, severity, block: block ?? null, say };
}

/** The ids of the blocks through which sound leaves the patch. */
export function outletsOf(patch: Patch): readonly string[] {
  return patch.blocks.filter(({ type }) => catalogue.get(type)?.bus !== undefined).map(({ id }) => id);
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

type Rendered = TakeOptions & { readonly seconds: number };

/** An engine for answers about patches, with the sound files of a take. */
export function hearingOf(module: WebAssembly.Module, { recordings }: Pick<TakeOptions, 'recordings'>): Hearing {
  return createHearing((each, how) => renderTake(module, specs, each, { ...how, ...(recordings && { recordings }) }), catalogue);
}

/** Findings of the patch as drawn, then those of its take. */
export function allFindings(module: WebAssembly.Module, patch: Patch, options: Rendered): readonly Finding[] {
  const { seconds, rate, quality } = options;
  const heard = hearForChecks(hearingOf(module, options), patch, { seconds, ...(rate && { rate }), ...(quality && { quality }) });
  return [...findings(patch, catalogue), ...takeFindings(heard)];
}

/** Measures a take that took `took` seconds to render. */
export function takeReport(module: WebAssembly.Module, patch: Patch, options: Rendered, take: Take, took: number): TakeReport {
  const channels = [take.left, take.right];
  return {
    seconds: options.seconds,
    realtimeRatio: Math.round((options.seconds / took) * 10) / 10,
    peakDbfs: level(toDb(Math.max(...channels.map((channel) => levelsOf(channel).peak)))),
    truePeakDbtp: level(toDb(Math.max(...channels.map(truePeakOf)))),
    loudnessLufs: level(integratedLoudness(channels, take.rate)),
    dcVolts: directVolts(module, patch, options),
    findings: allFindings(module, patch, options).map(findingRecord),
  };
}
