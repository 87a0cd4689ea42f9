import { describe, expect, it } from 'vitest';
import { between, fitted, LEAST_SPAN, type Shown, spanText, within, zoomed } from './scopeStore.ts';
import { pinched } from './usePaneGestures.ts';

const end = ({ start, span }: Shown): number => start + span;

describe('zooming', () => {
  it('goes from a minute down to 20 samples at 48 kHz, and no nearer', () => {
    let shown: Shown = { start: 0, span: 60 };
    for (let i = 0; i < 40; i++) shown = zoomed(shown, 0.5, 0.37, 60);
    expect(shown.span * 48000).toBeCloseTo(20, 9);
    expect(shown.start).toBeCloseTo(0.37 * 60, 3);
    for (let i = 0; i < 40; i++) shown = zoomed(shown, 2, 0.37, 60);
    expect(shown).toEqual({ start: 0, span: 60 });
  });

  it('keeps the second under the pointer in its place', () => {
    const before = { start: 3, span: 2 };
    for (const about of [0, 0.25, 1]) {
      const after = zoomed(before, 0.1, about, 12);
      expect(after.start + about * after.span).toBeCloseTo(3 + about * 2, 12);
    }
  });

  it('never shows what lies beyond the take', () => {
    expect(zoomed({ start: 11, span: 1 }, 4, 0, 12)).toEqual({ start: 8, span: 4 });
    expect(within(-3, 2, 12)).toBe(0);
    expect(within(99, 2, 12)).toBe(10);
  });

  it('by two fingers keeps both on the seconds that they touched', () => {
    const before = { start: 4, span: 4 };
    const after = pinched(before, [0.4, 0.6], [0.1, 0.9], 12);
    expect(after.start + 0.1 * after.span).toBeCloseTo(4 + 0.4 * 4, 12);
    expect(after.start + 0.9 * after.span).toBeCloseTo(4 + 0.6 * 4, 12);
    expect(pinched(before, [0.4, 0.6], [0.5, 0.5], 12)).toBe(before);
    expect(pinched(before, [0, 1], [0, 1e5], 12).span).toBe(LEAST_SPAN);
  });
});

describe('the shown part', () => {
  it('lies between two seconds in any order, within the take, and is never empty', () => {
    expect(between(5, 2, 12)).toEqual({ start: 2, span: 3 });
    expect(between(-1, 99, 12)).toEqual({ start: 0, span: 12 });
    expect(between(4, 4, 12)).toEqual({ start: 4, span: LEAST_SPAN });
    expect(end(between(12, 12, 12))).toBeCloseTo(12, 12);
  });

  it('stays in a take of another length: all stays all, a part stays where it can', () => {
    expect(fitted({ start: 0, span: 12 }, 12, 30)).toEqual({ start: 0, span: 30 });
    expect(fitted({ start: 0, span: 12 }, 12, 5)).toEqual({ start: 0, span: 5 });
    expect(fitted({ start: 9, span: 2 }, 12, 10)).toEqual({ start: 8, span: 2 });
    expect(fitted({ start: 1, span: 2 }, 12, 10)).toEqual({ start: 1, span: 2 });
  });

  it('is called by its length', () => {
    expect([12, 1.5, 0.25, 0.0125, 0.005, LEAST_SPAN].map(spanText)).toEqual(['12 s', '1.5 s', '250 ms', '13 ms', '5 ms', '0.42 ms']);
  });
});
