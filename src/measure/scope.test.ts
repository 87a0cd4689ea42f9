// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { columnsOfFrames, columnsOfPeaks } from './columns.ts';
import { createHistory } from './ring.ts';
import { findEdge, findEdges, findLastEdge } from './trigger.ts';

const sine = (length: number, period: number, phase = 0): Float32Array =>
  Float32Array.from({ length }, (_, n) => 5 * Math.sin(2 * Math.PI * (n / period + phase)));

describe('trigger', () => {
  it('finds a crossing between two frames', () => {
    const trigger = { level: 0, hysteresis: 0.5, edge: 'rising' } as const;
    expect(findEdge(sine(400, 100, 0.25), trigger)).toBeCloseTo(75, 3);
    expect(findEdge(sine(400, 100.37, 0.6), trigger)).toBeCloseTo(100.37 * 0.4, 3);
    expect(findEdge(sine(400, 100, 0.25), { ...trigger, edge: 'falling' })).toBeCloseTo(25, 3);
  });

  it('counts every period once, noise on the edge or not', () => {
    const noisy = sine(4800, 480, 0.25).map((x, n) => x + 0.3 * Math.sin(n * 1.7) + 0.3 * Math.sin(n * 2.9));
    expect(findEdges(noisy, { level: 0, hysteresis: 1, edge: 'rising' })).toHaveLength(10);
    expect(findEdges(noisy, { level: 0, hysteresis: 0, edge: 'rising' }).length).toBeGreaterThan(10);
  });

  it('a signal that starts above the level has not crossed it; one that never arms has no edge', () => {
    const trigger = { level: 1, hysteresis: 0.5, edge: 'rising' } as const;
    expect(findEdge([2, 2, 2], trigger)).toBeUndefined();
    expect(findEdge([0.8, 2, 0.8, 2], trigger)).toBeUndefined();
    expect(findEdge([0.5, 1.5], trigger)).toBe(0.5);
    expect(findEdge([1, 1, 2], { ...trigger, hysteresis: 0 })).toBeUndefined();
  });

  it('shows the newest whole trace', () => {
    const edge = findLastEdge(sine(1000, 100, 0.25), { level: 0, hysteresis: 0.5, edge: 'rising' }, 250, 500);
    expect(edge).toBeCloseTo(675, 3);
  });
});

describe('columns', () => {
  it('hold the least and the greatest frame of their stretch', () => {
    const samples = Float32Array.from({ length: 1000 }, (_, n) => (n === 437 ? 9 : n === 555 ? -7 : 0));
    const { lowest, highest } = columnsOfFrames(samples, 0, 100, 10);
    expect([...highest]).toEqual([0, 0, 0, 0, 9, 0, 0, 0, 0, 0]);
    expect([...lowest]).toEqual([0, 0, 0, 0, 0, -7, 0, 0, 0, 0]);
  });

  it.each([0.1, 0.7, 1, 3.3, 50])('meet their neighbours at %d frames per column, and lose no peak', (perColumn) => {
    const samples = sine(300, 37);
    const count = Math.floor(299 / perColumn);
    const { lowest, highest } = columnsOfFrames(samples, 0, perColumn, count);
    for (let c = 1; c < count; c++) {
      expect(lowest[c]).toBeLessThanOrEqual((highest[c - 1] as number) + 1e-6);
      expect(highest[c]).toBeGreaterThanOrEqual((lowest[c - 1] as number) - 1e-6);
    }
    const shown = samples.subarray(0, Math.floor(count * perColumn) + 1);
    expect(Math.max(...highest)).toBeCloseTo(Math.max(...shown), 5);
  });

  it('are NaN where there is no signal', () => {
    const { lowest } = columnsOfFrames([1, 2, 3, 4], -4, 2, 6);
    expect([...lowest].map(Number.isNaN)).toEqual([true, false, false, false, true, true]);
    expect(columnsOfFrames([], 0, 1, 2).lowest.every(Number.isNaN)).toBe(true);
  });

  it('from peaks: the extremes of the entries touched', () => {
    const { lowest, highest } = columnsOfPeaks([-1, -2, -3, -4], [1, 2, 3, 4], 0, 1.5, 4);
    expect([...lowest]).toEqual([-2, -3, -4, Number.NaN]);
    expect([...highest]).toEqual([2, 3, 4, Number.NaN]);
    expect([...columnsOfPeaks([-1, -2], [1, 2], 0, 0.5, 4).highest]).toEqual([1, 1, 2, 2]);
  });
});

describe('history', () => {
  const read = (history: ReturnType<typeof createHistory>, from: number, count: number): number[] => {
    const out = new Float32Array(count);
    history.copy(from, out);
    return [...out];
  };

  it('keeps the latest frames by their number', () => {
    const history = createHistory(8);
    for (let n = 0; n < 20; n += 4) history.push([n, n + 1, n + 2, n + 3]);
    expect(history.end).toBe(20);
    expect(read(history, 12, 8)).toEqual([12, 13, 14, 15, 16, 17, 18, 19]);
    expect(read(history, 10, 4)).toEqual([Number.NaN, Number.NaN, 12, 13]);
    expect(read(history, 18, 4)).toEqual([18, 19, Number.NaN, Number.NaN]);
  });

  it('takes more frames at once than it keeps', () => {
    const history = createHistory(4);
    history.push([0, 1]);
    history.push([2, 3, 4, 5, 6, 7, 8]);
    expect(history.end).toBe(9);
    expect(read(history, 5, 4)).toEqual([5, 6, 7, 8]);
  });

  it('a lost batch leaves a gap, a repeated one changes nothing', () => {
    const history = createHistory(8);
    history.push([0, 1, 2], 0);
    history.push([5, 6], 5);
    history.push([5, 6], 5);
    expect(read(history, 0, 7)).toEqual([0, 1, 2, Number.NaN, Number.NaN, 5, 6]);
    history.push([100], 100);
    expect(read(history, 98, 3)).toEqual([Number.NaN, Number.NaN, 100]);
    history.clear();
    expect(history.end).toBe(0);
    expect(read(history, 0, 1)).toEqual([Number.NaN]);
  });
});
