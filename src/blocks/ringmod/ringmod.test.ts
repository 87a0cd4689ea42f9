// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { publishedWords } from '../../../tests/support/publishedTable.ts';
import { runKernel, type Signal } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { lineAt } from '../../measure/spectrum.ts';
import { spec } from './spec.ts';

const rate = 48000;
const cosine =
  (hz: number, volts = 5, offset = 0) =>
  (n: number): number =>
    offset + volts * Math.cos((2 * Math.PI * hz * n) / rate);

// Source: am_ring_sidebands.csv (product-to-sum identity). Unit sinusoids there are 5 V here, and 5 V are the factor 1.
const [columns = [], ...table] = publishedWords('am_ring_sidebands');
const rows = table.map((words) => Object.fromEntries(columns.map((column, i) => [column, words[i] as string])));

describe.each(rows.map((row) => [`${row.kind} of ${row.fc_hz} and ${row.fm_hz} Hz, m = ${row.m || '-'}`, row] as const))(
  '%s',
  (_title, row) => {
    it(`has ${row.amplitude} at ${row.line_hz} Hz`, async () => {
      const [fc, fm] = [Number(row.fc_hz), Number(row.fm_hz)];
      const y = row.kind === 'am' ? cosine(fm, 5 * Number(row.m), 5) : cosine(fm);
      const { out } = await runKernel(spec, { frames: rate, inputs: { x: cosine(fc), y } });
      expect(lineAt(out!, Number(row.line_hz), rate).amplitude / 5).toBeCloseTo(Number(row.amplitude), 6);
      if (row.kind === 'ring') for (const hz of [fc, fm, 0]) expect(lineAt(out!, hz, rate).amplitude).toBeLessThan(1e-6);
    });
  },
);

it('keeps the signs of all four quadrants and is exact for direct voltages', async () => {
  for (const [x, y, product] of [
    [5, 5, 5],
    [-5, 5, -5],
    [3, -2, -1.2],
    [-4, -2.5, 2],
    [8, 0, 0],
  ] as const) {
    const { out } = await runKernel(spec, { frames: 5, inputs: { x, y } });
    expect(out![4]).toBe(Math.fround(product));
  }
});

it('is clipped at the rails', async () => {
  const { out } = await runKernel(spec, { frames: 5, inputs: { x: 12, y: (n) => (n < 3 ? 12 : -12) } });
  expect([...out!]).toEqual([12, 12, 12, -12, -12]);
});

it('constant inputs give the bits of moving ones, and 0 V at one of them silence', async () => {
  const wave = cosine(997, 5);
  const held = await runKernel(spec, { frames: 64, inputs: { x: 1.3, y: -0.7 } });
  const moving = await runKernel(spec, { frames: 128, inputs: { x: 1.3, y: (n) => (n < 64 ? -0.7 : 1) } });
  expect(moving.out!.subarray(0, 64)).toEqual(held.out);
  const cases: Record<string, Signal>[] = [{ x: wave }, { y: wave }, { x: wave, y: 0 }];
  for (const inputs of cases) {
    const { out } = await runKernel(spec, { frames: 300, inputs });
    expect(worst(300, (n) => out![n]!)).toBe(0);
  }
});
