// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { clockSignal, falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { type KernelRun, runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

const INTERVAL = 100;
const clock = clockSignal(INTERVAL, 0, 20);

type Settings = NonNullable<KernelRun['settings']>;

const run = (clocks: number, settings: Settings, more: Partial<KernelRun> = {}) =>
  runKernel(spec, { frames: clocks * INTERVAL, settings, ...more, inputs: { clock, ...more.inputs } });

/** The rhythm as the literature writes it: x for a hit, . for a rest, one sign per clock. */
async function rhythm(
  settings: Settings & { readonly steps: number },
  more: Partial<KernelRun> = {},
  clocks = settings.steps,
): Promise<string> {
  const { trigger } = await run(clocks, settings, more);
  const hits = new Set(rises(trigger!).map((n) => n / INTERVAL));
  return Array.from({ length: clocks }, (_, step) => (hits.has(step) ? 'x' : '.')).join('');
}

/** Steps from each onset to the next, round the end. */
function spans(pattern: string): number[] {
  const onsets = [...pattern].flatMap((sign, step) => (sign === 'x' ? [step] : []));
  return onsets.map((step, i) => (onsets[i + 1] ?? onsets[0]! + pattern.length) - step);
}

/**
 * G. T. Toussaint, "The Euclidean algorithm generates traditional musical rhythms", Proceedings of BRIDGES, Banff 2005, pages
 * 47-56: hits, steps and the steps between onsets, looked up in a public copy of its lists.
 */
const published: readonly (readonly [hits: number, steps: number, between: string, known: string])[] = [
  [2, 5, '23', 'classical, jazz, and Persian'],
  [3, 7, '223', 'Bulgarian folk'],
  [4, 9, '2223', 'Turkey'],
  [5, 11, '22223', 'classical'],
  [5, 16, '33334', 'Brazilian necklace'],
  [2, 3, '21', 'West Africa, Latin America'],
  [3, 4, '211', 'Trinidad, Persia'],
  [3, 5, '221', 'Rumanian and Persian necklaces'],
  [3, 8, '332', 'West Africa'],
  [4, 7, '2221', 'Bulgaria'],
  [4, 11, '3332', 'twentieth century'],
  [5, 6, '21111', 'Arab'],
  [5, 7, '21211', 'Arab'],
  [5, 9, '22221', 'Arab, South African and Rumanian necklaces'],
  [5, 12, '32322', 'South Africa'],
  [7, 8, '2111111', 'Tuareg rhythm of Libya'],
  [7, 16, '3223222', 'Brazilian necklace'],
  [11, 24, '32222322222', 'Central Africa'],
  [5, 8, '21212', 'West Africa'],
  [7, 12, '2122122', 'West Africa'],
  [9, 16, '212221222', 'West and Central African, and Brazilian necklaces'],
  [13, 24, '2122222122222', 'Central African necklace'],
];

describe('the published rhythms, without rotation as printed', () => {
  it.each(published)('E(%i,%i) is (%s): %s', async (hits, steps, between) => {
    const pattern = await rhythm({ steps, hits });
    expect(pattern[0]).toBe('x');
    expect(spans(pattern).join('')).toBe(between);
  });

  // the worked example of the paper's second section, after Bjorklund
  it('E(5,13) is x..x.x..x.x..', async () => expect(await rhythm({ steps: 13, hits: 5 })).toBe('x..x.x..x.x..'));
});

describe('every number of hits', () => {
  const sizes = [...Array.from({ length: 16 }, (_, i) => i + 1), 24, 32];

  // J. Clough and J. Douthett, "Maximally even sets", Journal of Music Theory 35 (1991): any d spans in a row come in at most two lengths, next to each other
  it.each(sizes)('over %i steps is spread as evenly as whole steps allow', async (steps) => {
    for (let hits = 0; hits <= steps; hits++) {
      const pattern = await rhythm({ steps, hits });
      const between = spans(pattern);
      expect(between, `E(${hits},${steps})`).toHaveLength(hits);
      for (let d = 1; d < hits; d++) {
        for (let first = 0; first < hits; first++) {
          const length = Array.from({ length: d }, (_, i) => between[(first + i) % hits]!).reduce((sum, span) => sum + span, 0);
          expect([Math.floor((d * steps) / hits), Math.ceil((d * steps) / hits)], `E(${hits},${steps})`).toContain(length);
        }
      }
      const formula = Array.from({ length: steps }, (_, i) => ((i * hits) % steps < hits ? 'x' : '.')).join('');
      expect((formula + formula).includes(pattern), `E(${hits},${steps}) is a rotation of the straight line`).toBe(true);
    }
  });

  it('more hits than steps strike every one', async () => expect(await rhythm({ steps: 5, hits: 32 })).toBe('xxxxx'));
});

describe('the row', () => {
  it('comes round after its steps', async () => {
    expect(await rhythm({ steps: 7, hits: 3 }, {}, 18)).toBe('x.x.x..x.x.x..x.x.');
  });

  it.each([0, 1, 2, 5, 8, 9, 31])('rotate %i moves it later by so many steps', async (rotate) => {
    const plain = 'x.xx.xx.';
    expect(await rhythm({ steps: 8, hits: 5, rotate })).toBe(Array.from(plain, (_, i) => plain[(i + 32 - rotate) % 8]).join(''));
  });

  it.each([
    [4, 4, 12],
    [4, 8, 16],
    [0, 2, 4],
    [0, 0.24, 0],
    [0, 0.26, 1],
    [12, -4, 4],
    [3, -8, 0],
    [10, 12, 16],
  ])('%i hits and %d V at the CV are %i hits in 16 steps: 8 V add 16', async (hits, volts, expected) => {
    const pattern = await rhythm({ steps: 16, hits }, { inputs: { hitsCv: volts } });
    expect(pattern).toBe(await rhythm({ steps: 16, hits: expected }));
  });

  it('stands ahead of step 1 after a reset; reset and clock on one frame play step 1', async () => {
    const settings = { steps: 8, hits: 3 };
    expect(await rhythm(settings, { inputs: { reset: gateSignal([210, 230]) } })).toBe('x..x..x.');
    expect(await rhythm(settings, { inputs: { reset: gateSignal([110, 130]) } })).toBe('x.x..x..');
    expect(await rhythm(settings, { inputs: { reset: gateSignal([400, 430]) } })).toBe('x..xx..x');
  });
});

describe('the outputs', () => {
  it('each clock fires either trigger or rests, for 1 ms, on its frame', async () => {
    const { trigger, rests } = await run(16, { steps: 16, hits: 7 });
    const both = [...rises(trigger!), ...rises(rests!)].sort((a, b) => a - b);
    expect(both).toEqual(Array.from({ length: 16 }, (_, k) => k * INTERVAL));
    expect(rises(trigger!)).toHaveLength(7);
    for (const out of [trigger!, rests!]) expect(falls(out)).toEqual(rises(out).map((n) => n + 48));
  });

  it('the gate is high for half the interval, and as long as the clock until that is known', async () => {
    const { gate } = await run(8, { steps: 4, hits: 4 });
    expect(falls(gate!)).toEqual([20, 150, 250, 350, 450, 550, 650, 750]);
  });

  it('all fall at a reset and wait for a clock', async () => {
    const out = await run(4, { steps: 2, hits: 1 }, { inputs: { reset: gateSignal([210, 220]) } });
    expect(falls(out.trigger!)).toEqual([48, 210, 348]);
    expect(falls(out.gate!)).toEqual([20, 210, 350]);
    const silent = await runKernel(spec, { frames: 300, inputs: { reset: gateSignal([20, 40]) } });
    for (const id of ['trigger', 'gate', 'rests']) expect(silent[id]!.every((volts) => volts === 0)).toBe(true);
  });
});
