// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { valueSettings as setting } from '../../../tests/support/valueSettings.ts';
import { fromTravel, toTravel } from './travel.ts';

const any = fc.constantFrom(...Object.values(setting));
const travel = fc.double({ min: 0, max: 1, noNaN: true });

describe('slider travel', () => {
  it('reaches both ends exactly', () => {
    for (const one of Object.values(setting)) {
      expect([fromTravel(0, one), fromTravel(1, one)]).toEqual([one.minimum, one.maximum]);
      expect([toTravel(one.minimum, one), toTravel(one.maximum, one)]).toEqual([0, 1]);
    }
  });

  it('is even, or by equal ratios: halfway is the arithmetic or the geometric mean', () => {
    expect(fromTravel(0.5, setting.amount)).toBe(0);
    expect(fromTravel(0.5, setting.tune)).toBeCloseTo(Math.sqrt(8 * 12500), 0);
    expect(toTravel(1, setting.rate)).toBeCloseTo(Math.log(200) / Math.log(40000), 12);
  });

  it('is fine at the small end where ratios cannot reach 0', () => {
    expect(fromTravel(0.1, setting.glide)).toBeCloseTo(0.0005, 6);
    expect(fromTravel(0.5, setting.glide)).toBeCloseTo(0.3125, 2);
  });

  it('goes there and back within a thousandth, stays in range and never goes backwards', () => {
    fc.assert(
      fc.property(any, travel, travel, (one, a, b) => {
        const value = fromTravel(a, one);
        expect(value).toBeGreaterThanOrEqual(one.minimum);
        expect(value).toBeLessThanOrEqual(one.maximum);
        if (one.whole) expect(Number.isInteger(value)).toBe(true);
        else expect(Math.abs(toTravel(value, one) - a)).toBeLessThan(0.001);
        expect(Math.sign(fromTravel(b, one) - value)).not.toBe(-Math.sign(b - a || 2));
      }),
      { numRuns: 2000 },
    );
  });

  it('gives short numbers', () => {
    fc.assert(
      fc.property(any, travel, (one, a) => {
        expect(String(Math.abs(fromTravel(a, one))).replace(/^0\.0*|\D/g, '').length).toBeLessThanOrEqual(9);
      }),
    );
    expect(fromTravel(0.35, setting.level)).toBe(0.35);
  });

  it('takes values and travels from outside as the nearest end', () => {
    expect([fromTravel(-1, setting.level), fromTravel(2, setting.level), toTravel(9, setting.level)]).toEqual([0, 1, 1]);
  });
});
