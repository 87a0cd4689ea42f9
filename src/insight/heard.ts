/** A take as the answers need it: what every output of the patch did. */
import type { Catalogue } from '../patch/blockSpec.ts';
import { DEFAULT_SECONDS, type Patch, type Place, placeName } from '../patch/document.ts';
import { findSetting, settingValue } from '../patch/settings.ts';
import { type Figures, steadyFigures, Tally } from './tally.ts';
import { inputSpec, sourceOf, type Wired } from './wired.ts';

export interface Heard {
  readonly patch: Patch;
  readonly rate: number;
  readonly frames: number;
  /** What is put out, full scale 1. */
  readonly left: Float32Array;
  readonly right: Float32Array;
  /** By output name ("block.port"): every output of every known block. */
  readonly outputs: ReadonlyMap<string, Figures>;
  /** Every frame, in volts, of the outputs that were asked for. */
  readonly samples: ReadonlyMap<string, Float32Array>;
  /** Ids of blocks that turned non-finite and were muted. */
  readonly faults: readonly string[];
}

export interface Listener {
  /** The next `count` frames, in volts; valid during the call only. */
  add(samples: Float32Array, count: number): void;
}

export interface HearOptions {
  /** Left out: the patch's own length. */
  readonly seconds?: number;
  readonly rate?: number;
  /** Oversampling of the whole engine; left out: the renderer's own. */
  readonly quality?: 1 | 2 | 4 | 8;
  /** Outputs whose every frame is kept. */
  readonly samples?: readonly Place[];
  /** Figures of these outputs alone are taken too; all others are left out of the answer. */
  readonly samplesOnly?: boolean;
  /** Figures of these outputs alone are taken, and of those whose frames are kept. */
  readonly only?: readonly Place[];
  /** Inputs ("block.port") that read so many volts instead of what their cable brings. */
  readonly holds?: ReadonlyMap<string, number>;
  /** Who else listens to an output while it passes by; undefined for nobody. */
  readonly ears?: (at: Place) => Listener | undefined;
}

/** Renders patches for the answers. */
export interface Hearing {
  readonly catalogue: Catalogue;
  /** Throws a PlanRefused where the patch does not fit the engine. */
  hear(patch: Patch, options?: HearOptions): Heard;
}

export interface RenderOptions {
  readonly seconds: number;
  readonly rate: number;
  readonly quality?: 1 | 2 | 4 | 8;
  readonly taps: readonly { readonly at: Place }[];
  readonly holds?: ReadonlyMap<string, number>;
  /** Is shown each tap's frames as they come. */
  readonly watch: (tap: number, samples: Float32Array, count: number) => void;
}

/** An engine that renders takes: `renderTake` of a host with its module, specs and sound files filled in. */
export type Render = (patch: Patch, options: RenderOptions) => Pick<Heard, 'left' | 'right' | 'faults'>;

export function createHearing(render: Render, catalogue: Catalogue): Hearing {
  return {
    catalogue,
    hear(
      patch,
      { seconds = patch.seconds ?? DEFAULT_SECONDS, rate = 48000, samples = [], samplesOnly = false, only, holds, quality, ears } = {},
    ) {
      const every = patch.blocks.flatMap(({ id, type }) => (catalogue.get(type)?.outputs ?? []).map((output): Place => [id, output.id]));
      const wanted = samplesOnly || only ? new Set([...samples, ...(only ?? [])].map(placeName)) : undefined;
      const places = wanted ? every.filter((place) => wanted.has(placeName(place))) : every;
      const tallies = places.map(() => new Tally());
      const listeners = places.map((place) => ears?.(place));
      const kept = new Set(samples.map(placeName));
      const frames = Math.round(seconds * rate);
      const stores = places.map((place) => (kept.has(placeName(place)) ? new Float32Array(frames) : undefined));
      const filled = places.map(() => 0);
      const { left, right, faults } = render(patch, {
        seconds,
        rate,
        taps: places.map((at) => ({ at })),
        ...(holds && { holds }),
        ...(quality && { quality }),
        watch(tap, volts, count) {
          tallies[tap]?.add(volts, count);
          listeners[tap]?.add(volts, count);
          const store = stores[tap];
          if (!store) return;
          const at = filled[tap] as number;
          for (let i = 0; i < count; i++) store[at + i] = volts[i] as number;
          filled[tap] = at + count;
        },
      });
      return {
        patch,
        rate,
        frames,
        left,
        right,
        faults,
        outputs: new Map(places.map((place, i) => [placeName(place), (tallies[i] as Tally).figures()])),
        samples: new Map(places.flatMap((place, i) => (stores[i] ? [[placeName(place), stores[i]] as const] : []))),
      };
    },
  };
}

/**
 * What an input reads: its cable's source, another input's where it is normalled to that, else its resting voltage. Undefined where
 * the block makes its own normal (its spec's `normalSay`), and for an unknown input.
 */
export function inputFigures(heard: Heard, wired: Wired, block: string, input: string): Figures | undefined {
  const source = sourceOf(wired, block, input);
  if (source) return heard.outputs.get(placeName(source));
  const spec = wired.blocks.get(block)?.spec;
  const found = spec && inputSpec(spec, input);
  if (!found) return undefined;
  if (found.normalFrom !== undefined) return inputFigures(heard, wired, block, found.normalFrom);
  if (found.normal === undefined && found.normalSay !== undefined) return undefined;
  return steadyFigures(found.normal ?? 0, heard.frames);
}

/** The factor by which a block scales an input before it acts; 1 where it does not. */
export function amountOf(wired: Wired, block: string, input: string): number {
  const known = wired.blocks.get(block);
  const amount = known && inputSpec(known.spec, input)?.amount;
  const setting = amount === undefined || !known ? undefined : findSetting(known.spec, amount);
  return known && setting ? Number(settingValue(known.block, setting)) : 1;
}
