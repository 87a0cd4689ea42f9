// @vitest-environment node
/** Laws that hold for every patch, tried on random ones; a seed that once failed stays in the list. */
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { Engine } from '../../src/engine/hosts/engine.ts';
import { loadRecordings } from '../../src/engine/hosts/recordings.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { compilePlan } from '../../src/engine/plan/compile.ts';
import type { Patch } from '../../src/patch/document.ts';
import { engineModule } from '../support/engine.ts';
import { seededPatch, seededSounds, shuffled } from '../support/seededPatch.ts';

const seeds = Array.from({ length: 60 }, (_, i) => i + 1);
const allOutputs = (patch: Patch) =>
  patch.blocks.flatMap((block) =>
    (specs.find(({ type }) => type === block.type)?.outputs ?? []).map((output) => ({ at: [block.id, output.id] as const })),
  );

describe('every patch', () => {
  it.each(seeds)('stays finite, within the rails and under the ceiling (seed %i)', (seed) => {
    const patch = seededPatch(seed, 6 + (seed % 20));
    const take = renderTake(engineModule(), specs, patch, { taps: allOutputs(patch), seconds: 0.3, recordings: seededSounds });
    expect(take.faults).toEqual([]);
    for (const volts of take.taps) expect(volts.every((v) => Number.isFinite(v) && Math.abs(v) <= 12)).toBe(true);
    for (const side of [take.left, take.right]) expect(side.every((v) => Math.abs(v) <= 10 ** (-1 / 20) + 1e-4)).toBe(true);
  });

  it.each(seeds.slice(0, 30))('sounds the same in whatever order the file lists it (seed %i)', (seed) => {
    const patch = seededPatch(seed);
    const a = renderTake(engineModule(), specs, patch, { seconds: 0.2, recordings: seededSounds });
    const b = renderTake(engineModule(), specs, shuffled(patch, seed + 1), { seconds: 0.2, recordings: seededSounds });
    expect(Buffer.compare(Buffer.from(b.left.buffer), Buffer.from(a.left.buffer))).toBe(0);
    expect(Buffer.compare(Buffer.from(b.right.buffer), Buffer.from(a.right.buffer))).toBe(0);
  });

  it.each(seeds.slice(0, 20))('can be swapped for itself without a trace (seed %i)', (seed) => {
    const patch = seededPatch(seed);
    const run = (swap: boolean): number[] => {
      const engine = new Engine(engineModule(), 48000, 1);
      const catalogue = engine.catalogue(specs);
      const { loaded: recordings, end: base } = loadRecordings(engine, engine.arenaStart, seededSounds);
      engine.reserve(base + 2 * 8388608);
      let plan = compilePlan(patch, catalogue, { rate: 48000, quality: 1, base, recordings });
      engine.load(plan);
      const out: number[] = [];
      for (let n = 0; n < 80; n++) {
        if (swap && n % 16 === 7) {
          plan = compilePlan(shuffled(patch, n), catalogue, {
            rate: 48000,
            quality: 1,
            base: base + (n % 32 === 7 ? 8388608 : 0),
            recordings,
            previous: plan,
          });
          engine.load(plan);
        }
        engine.render(128);
        out.push(...engine.left);
      }
      return out;
    };
    expect(run(true)).toEqual(run(false));
  });

  it('differs with the seed, where it is random', () => {
    const noise = (seed: number): Patch => ({
      seed,
      blocks: [
        { id: 'n', type: 'noise' },
        { id: 'o', type: 'output' },
      ],
      cables: [{ from: ['n', 'white'], to: ['o', 'left'] }],
    });
    const left = (seed: number): number[] => [...renderTake(engineModule(), specs, noise(seed), { seconds: 0.1 }).left];
    expect(left(1)).not.toEqual(left(2));
    expect(left(1)).toEqual(left(1));
  });
});
