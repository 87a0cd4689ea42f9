/**
 * What a check against the published record is made of. Topics (topics/*.ts) list checks; the suite (published.test.ts) asserts
 * them and the report (report/) draws them, so that what is drawn is what is asserted.
 */
import { specs } from '../../src/blocks/specs.gen.ts';
import type { BlockSpec } from '../../src/patch/blockSpec.ts';

/** One published value. */
export interface Row {
  readonly name: string;
  /** Where it stands on the figure's x axis. */
  readonly x?: number;
  readonly published: number;
  /** How far the measured value may lie from it: on either side, or [below, above]. Bounds are `atMost` and `atLeast`. */
  readonly within: number | readonly [below: number, above: number];
}

/** The published value is an upper, or a lower, bound. */
export const atMost = [Number.POSITIVE_INFINITY, 0] as const;
export const atLeast = [0, Number.POSITIVE_INFINITY] as const;

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Axis {
  readonly title: string;
  readonly log?: boolean;
  readonly from?: number;
  readonly to?: number;
}

/** A plot that several checks share. */
export interface Figure {
  readonly title: string;
  readonly say?: string;
  readonly x: Axis;
  /** Left out: only the deviations are drawn. */
  readonly y?: Axis;
  /** Lines of a spectrum are drawn as stems. */
  readonly stems?: boolean;
  /** Three in a row instead of two. */
  readonly small?: boolean;
  /** Published curves to compare with, that are no rows. */
  readonly others?: readonly { readonly series: string; readonly points: readonly Point[] }[];
}

export interface Curve {
  readonly figure: Figure;
  /** Name of this check's curve in the figure. */
  readonly series: string;
  /** Its colour and dash; left out: by its place among the figure's checks. */
  readonly look?: number;
  /** The measured curve between the rows. */
  trace?(): Promise<readonly Point[]>;
}

export interface Check {
  /** Type of the block, or the name of the part of engine or meter. */
  readonly block: string;
  /** A rule in plain words. */
  readonly title: string;
  readonly source: string;
  readonly unit: string;
  readonly rows: readonly Row[];
  /** One measured value per row, in their order. */
  measure(): Promise<readonly number[]>;
  readonly curve?: Curve;
}

export interface Topic {
  /** One word: `npm run report -- --only ID`. */
  readonly id: string;
  readonly title: string;
  /** What is measured, and how, in a sentence or two. */
  readonly say: string;
  readonly checks: readonly Check[];
  /** What was found, in a few words, from the values of each check; left out: the largest deviation. */
  glance?(measured: readonly (readonly number[])[]): string;
}

export function allowance({ within }: Row): readonly [below: number, above: number] {
  return typeof within === 'number' ? [within, within] : within;
}

/** NaN is never inside. */
export function isInside(row: Row, measured: number): boolean {
  const [below, above] = allowance(row);
  return measured >= row.published - below && measured <= row.published + above;
}

/** A sentence for each row that is not met: empty when all is well. */
export function outside({ rows, unit }: Pick<Check, 'rows' | 'unit'>, measured: readonly number[]): string[] {
  return rows.flatMap((row, i) => {
    const value = measured[i] ?? Number.NaN;
    return isInside(row, value) ? [] : [`${row.name}: ${value} ${unit} measured, ${row.published} published`];
  });
}

export function blockSpec(type: string): BlockSpec | undefined {
  return specs.find((one) => one.type === type);
}

/** Checks of a block: none while it is not in the catalogue, so that they appear when the block does. */
export function ofBlock(type: string, make: (spec: BlockSpec) => readonly Check[]): readonly Check[] {
  const spec = blockSpec(type);
  return spec ? make(spec) : [];
}

/** Runs once, however often it is asked. */
export function once<Value>(run: () => Promise<Value>): () => Promise<Value> {
  let made: Promise<Value> | undefined;
  return () => {
    made ??= run();
    return made;
  };
}
