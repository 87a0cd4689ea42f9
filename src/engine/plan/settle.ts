/** Addresses of everything in a plan: first the image, then memory that starts as zero. */
import { placeName } from '../../patch/document.ts';
import {
  Arena,
  BUS_BYTES,
  CARRY_BYTES,
  CHUNK,
  CONSTANT_BYTES,
  FADE_BYTES,
  ITEM_BYTES,
  PLAN_BYTES,
  SIGNAL_BYTES,
  SIGNAL_HEADER,
  TAP_BYTES,
  TARGET_BYTES,
} from './image.ts';
import { layoutOf } from './layout.ts';
import type { EngineCatalogue, PlacedBlock, PlacedTap, PlanOptions } from './plan.ts';
import type { Resolved } from './resolve.ts';

/** Counts that decide the size of the image. */
export interface Counts {
  readonly buses: number;
  readonly carries: number;
  readonly targets: number;
  readonly carriedSignals: number;
}

/** A table of records in the image. */
export interface Table {
  readonly at: number;
  readonly count: number;
}

export interface Settled {
  readonly head: number;
  readonly blockTable: Table;
  readonly items: Table;
  readonly buses: Table;
  readonly taps: Table;
  readonly delayed: Table;
  readonly constants: Table;
  readonly owners: Table;
  readonly carries: Table;
  readonly targets: Table;
  readonly carriedSignals: Table;
  readonly fades: readonly number[];
  readonly blocks: ReadonlyMap<string, PlacedBlock>;
  readonly imageEnd: number;
  /** First signal's header; outputs, then fades, follow without gaps. */
  readonly signalsStart: number;
  readonly signalCount: number;
  /** By output, "block.port". */
  readonly signals: ReadonlyMap<string, number>;
  readonly fadeSignals: readonly number[];
  /** By volts. */
  readonly rests: ReadonlyMap<number, number>;
  readonly feeds: ReadonlyMap<string, number>;
  readonly placedTaps: readonly PlacedTap[];
  readonly decimators: readonly number[];
  /** Private memory of blocks that ask for it: address and float32 frames. */
  readonly memories: ReadonlyMap<string, { readonly at: number; readonly frames: number }>;
  readonly end: number;
}

export function settle(resolved: Resolved, catalogue: EngineCatalogue, options: PlanOptions, counts: Counts): Settled {
  const arena = new Arena(options.base);
  const table = (count: number, bytes: number): Table => ({ at: arena.take(count * bytes), count });
  const { steps, fadings, outputs } = resolved;
  const taps = options.taps ?? [];
  const signalCount = outputs.length + fadings.length;
  const loops = steps.filter((step) => 'loop' in step).length;

  const head = arena.take(PLAN_BYTES, 64);
  const blockTable = table(resolved.blocks.length, 4);
  const items = table(resolved.blocks.length + loops + fadings.length, ITEM_BYTES);
  const buses = table(counts.buses, BUS_BYTES);
  const tapTable = table(taps.length, TAP_BYTES);
  const delayed = table(resolved.delayed.size, 4);
  const constants = table(resolved.rests.length, CONSTANT_BYTES);
  const owners = table(signalCount, 4);
  const carries = table(counts.carries, CARRY_BYTES);
  const targets = table(counts.targets, TARGET_BYTES);
  const carriedSignals = table(counts.carriedSignals, 8);
  const fades = fadings.map(() => arena.take(FADE_BYTES));
  const blocks = new Map(
    resolved.blocks.map(({ id, spec, kind }, index): [string, PlacedBlock] => {
      const address = arena.take(catalogue.structBytes[kind] as number, 16);
      return [id, { id, index, kind, spec, layout: layoutOf(spec), address }];
    }),
  );
  const imageEnd = arena.take(0, 64);

  const signalsStart = arena.take(signalCount * SIGNAL_BYTES, 16);
  const signalAt = (i: number): number => signalsStart + i * SIGNAL_BYTES + SIGNAL_HEADER;
  const takeSignal = (): number => arena.take(SIGNAL_BYTES, 16) + SIGNAL_HEADER;
  const rests = new Map(resolved.rests.map((volts) => [volts, takeSignal()]));
  const feeds = new Map((options.feeds ?? []).map((place) => [placeName(place), takeSignal()]));
  const placedTaps = taps.map(
    (tap, i): PlacedTap => ({ ...tap, address: tapTable.at + i * TAP_BYTES, out: tap.peaksOnly ? 0 : arena.take(CHUNK * 4, 16) }),
  );
  const decimators = placedTaps.map(({ out }) => (out !== 0 && options.quality > 1 ? arena.take(catalogue.decimatorBytes, 16) : 0));
  const memories = new Map(
    resolved.blocks.flatMap(({ id, spec }) => {
      if (!spec.memorySeconds) return [];
      const frames = Math.ceil(spec.memorySeconds * options.rate * options.quality);
      return [[id, { at: arena.take(frames * 4, 16), frames }] as const];
    }),
  );
  return {
    head,
    blockTable,
    items,
    buses,
    taps: tapTable,
    delayed,
    constants,
    owners,
    carries,
    targets,
    carriedSignals,
    fades,
    blocks,
    imageEnd,
    signalsStart,
    signalCount,
    signals: new Map(outputs.map(({ name }, i) => [name, signalAt(i)])),
    fadeSignals: fadings.map((_, i) => signalAt(outputs.length + i)),
    rests,
    feeds,
    placedTaps,
    decimators,
    memories,
    end: arena.end,
  };
}
