// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

const run = (frames: number, settings: KernelRun['settings'], input: (frame: number) => number, more: Partial<KernelRun> = {}) =>
  runKernel(spec, { frames, settings: settings ?? {}, inputs: { in: input }, ...more });

describe('one edge', () => {
  it.each([44100, 48000, 96000])('begins and ends on the frames nearest to the exact times, at %i Hz', async (sampleRate) => {
    const edge = 100;
    const [delay, length, spacing, repeats] = [0.0123, 0.00377, 0.01111, 5];
    const settings = { delay, length, spacing, repeats };
    const { out, end } = await run(Math.round(0.1 * sampleRate), settings, gateSignal([edge, edge + 7]), { sampleRate });
    const begins = Array.from({ length: repeats }, (_, k) => edge + Math.round((delay + k * spacing) * sampleRate));
    const ends = Array.from({ length: repeats }, (_, k) => edge + Math.round((delay + k * spacing + length) * sampleRate));
    expect(rises(out!)).toEqual(begins);
    expect(falls(out!)).toEqual(ends);
    expect(rises(end!)).toEqual(ends.slice(-1));
    expect(falls(end!)).toEqual([ends.at(-1)! + Math.round(0.001 * sampleRate)]);
  });

  it('with no delay it answers on the frame of the edge; how long the input is high does not matter', async () => {
    for (const width of [1, 3000]) {
      const { out } = await run(5000, { length: 0.02 }, gateSignal([77, 77 + width]));
      expect([rises(out!), falls(out!)]).toEqual([[77], [77 + 960]]);
    }
  });

  it('gates longer than their spacing run together; the end is that of the last', async () => {
    const { out, end } = await run(20000, { length: 0.1, spacing: 0.05, repeats: 4 }, gateSignal([0, 10]));
    expect([rises(out!), falls(out!), rises(end!)]).toEqual([[0], [12000], [12000]]);
  });

  it('after ten seconds it is still exact', async () => {
    const { out } = await run(481000, { delay: 10, length: 0.001 }, gateSignal([1, 2]));
    expect([rises(out!), falls(out!)]).toEqual([[480001], [480049]]);
  });
});

describe('several edges', () => {
  it('each starts its own row, also while others are due', async () => {
    const { out, end } = await run(60000, { delay: 1, length: 0.01 }, clockSignal(1000, 0, 10));
    const edges = Array.from({ length: 12 }, (_, k) => 48000 + 1000 * k);
    expect(rises(out!)).toEqual(edges);
    expect(rises(end!)).toEqual(edges.map((n) => n + 480));
  });

  it('rows run over each other: the output is high while any gate is', async () => {
    const settings = { delay: 0.01, length: 0.005, spacing: 0.02, repeats: 3 };
    const edges = [0, 1000, 1100, 5000];
    const { out, end } = await run(12000, settings, gateSignal(...edges.map((n): [number, number] => [n, n + 20])));
    const gates = edges.flatMap((edge) => [0, 1, 2].map((k) => edge + 480 + 960 * k));
    for (let n = 0; n < 12000; n++) expect(out![n], `frame ${n}`).toBe(gates.some((from) => n >= from && n < from + 240) ? 8 : 0);
    expect(rises(end!)).toEqual([2640, 3640, 3740, 7640]);
  });

  it('an end that falls due while one is high extends it', async () => {
    const { end } = await run(3000, { length: 0.01 }, gateSignal([0, 10], [30, 40]));
    expect([rises(end!), falls(end!)]).toEqual([[480], [558]]);
  });

  it('keeps 200 rows and leaves out edges beyond, until one is over', async () => {
    const { out } = await run(52000, { delay: 1, length: 0.001 }, clockSignal(100, 0, 10));
    const kept = Array.from({ length: 200 }, (_, k) => 48000 + 100 * k).filter((n) => n < 52000);
    expect(rises(out!)).toEqual(kept);
    const later = await run(100000, { delay: 1, length: 0.001 }, (n) => (n < 60000 ? clockSignal(100, 0, 10)(n) : 0));
    // the place of the first row is free once it has ended, at 48000 + 48
    expect(rises(later.out!).filter((n) => n > 70000)).toEqual(
      Array.from({ length: 119 }, (_, k) => 96100 + 100 * k).filter((n) => n < 100000),
    );
  });
});

it('the settings of a row are those at its edge', async () => {
  const { out } = await run(12000, { delay: 0.1, length: 0.01 }, gateSignal([0, 10], [3000, 3010]), {
    events: [
      { frame: 2000, setting: 'delay', value: 0.05 },
      { frame: 2000, setting: 'length', value: 0.02 },
    ],
  });
  expect([rises(out!), falls(out!)]).toEqual([
    [4800, 5400],
    [5280, 6360],
  ]);
});

it('an edge is seen at 1.5 V and again only after less than 1 V; none comes without a cable', async () => {
  const volts = [1.4, 1.5, 1.05, 3, 0.99, 1.4, 1.6, 0, 2];
  const { out } = await run(900, { length: 0.001 }, (n) => volts[Math.floor(n / 100)]!);
  expect(rises(out!)).toEqual([100, 600, 800]);
  expect(rises((await runKernel(spec, { frames: 300 })).out!)).toEqual([]);
});
