/** How much of a setting's range is used. */
import { formatValue, toTravel } from '../../patch/values/index.ts';
import type { KnownBlock } from '../wired.ts';
import { figuresOf } from './movement.ts';
import { amountFor, movedValue, type Quantity } from './quantity.ts';

export interface Range {
  /** Title of the setting that is moved. */
  readonly setting: string;
  /** Least and greatest value that counts, in the setting's unit, and as they are written. */
  readonly least: number;
  readonly most: number;
  readonly leastText: string;
  readonly mostText: string;
  /** Part of the setting's way between its ends, 0..1. */
  readonly used: number;
  /** Part of the time in which it is held at an end, 0..1. */
  readonly beyond: number;
  /** An input was asked for: this is what it does alone, all other inputs of the setting at 0 V. */
  readonly alone: boolean;
}

export function rangeOf(quantity: Quantity, known: KnownBlock, whole: Float64Array): Range | undefined {
  const { moved, law } = quantity;
  if (!moved) return undefined;
  const { setting, within } = moved;
  if (whole.length === 0) return undefined;
  const { least: lowest, most: highest } = figuresOf(whole);
  // The way from the quantity to the setting only rises or only falls.
  const ends = [lowest, highest].map((amount) => Math.min(within[1], Math.max(within[0], movedValue(moved, known, amount))));
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  let beyond = 0;
  const [from, to] = within.map((value) => amountFor(moved, known, value)).sort((a, b) => a - b) as [number, number];
  for (let i = 0; i < whole.length; i++) if ((whole[i] as number) < from || (whole[i] as number) > to) beyond++;
  return {
    setting: setting.title,
    least,
    most,
    leastText: formatValue(readable(least), setting),
    mostText: formatValue(readable(most), setting),
    used: toTravel(most, setting) - toTravel(least, setting),
    beyond: beyond / whole.length,
    alone: law === 'volts',
  };
}

/** Three digits are enough to read. */
function readable(value: number): number {
  return Number(value.toPrecision(3));
}
