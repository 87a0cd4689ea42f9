/** How far a slider stands for a value, 0 at the setting's minimum to 1 at its maximum. */
import type { NumberSetting } from '../blockSpec.ts';

/** Where ratios cannot reach the minimum because it is 0: travel to the power of this, fine at the small end. */
const POWER = 4;

type Law = 'even' | 'ratio' | 'power';

function lawOf({ travel, minimum }: NumberSetting): Law {
  if (travel !== 'ratio' || minimum < 0) return 'even';
  return minimum > 0 ? 'ratio' : 'power';
}

/** The travel 0..1 of a value; values outside the range end at 0 or 1. */
export function toTravel(value: number, setting: NumberSetting): number {
  const { minimum, maximum } = setting;
  const inside = Math.min(maximum, Math.max(minimum, value));
  switch (lawOf(setting)) {
    case 'even':
      return (inside - minimum) / (maximum - minimum);
    case 'ratio':
      return Math.log(inside / minimum) / Math.log(maximum / minimum);
    case 'power':
      return (inside / maximum) ** (1 / POWER);
  }
}

/**
 * The value at a travel, in the setting's range. Whole settings give whole numbers; others are rounded to what
 * a thousandth of the way can tell apart, so that documents hold 0.35 and not 0.35000000000000003.
 */
export function fromTravel(travel: number, setting: NumberSetting): number {
  const { minimum, maximum, whole } = setting;
  const inside = Math.min(1, Math.max(0, travel));
  if (inside === 0) return minimum;
  if (inside === 1) return maximum;
  const value = along(inside, setting);
  const rounded = whole ? Math.round(value) : roundTo(value, finest(value, setting));
  return Math.min(maximum, Math.max(minimum, rounded));
}

function along(travel: number, setting: NumberSetting): number {
  const { minimum, maximum } = setting;
  switch (lawOf(setting)) {
    case 'even':
      return minimum + travel * (maximum - minimum);
    case 'ratio':
      return minimum * (maximum / minimum) ** travel;
    case 'power':
      return maximum * travel ** POWER;
  }
}

/** A step too small to matter at this value: the range's or the value's thousandth. */
function finest(value: number, setting: NumberSetting): number {
  return lawOf(setting) === 'even' ? (setting.maximum - setting.minimum) / 1000 : Math.abs(value) / 1000;
}

/** Rounded to a power of ten not above `step`. */
function roundTo(value: number, step: number): number {
  const decimals = Math.ceil(-Math.log10(step));
  return decimals > 0 ? Number(value.toFixed(Math.min(decimals, 12))) : Math.round(value / 10 ** -decimals) * 10 ** -decimals;
}
