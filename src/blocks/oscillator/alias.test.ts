// @vitest-environment node
/** Alias of everything the oscillator puts out; how it is measured: tests/support/aliasBench.ts. */
import { describe, expect, it } from 'vitest';
import { ALIAS_FRAMES, type AliasBench, aliasBench, coherentSine, readAlias, SETTLE } from '../../../tests/support/aliasBench.ts';
import { besselI0 } from '../../../tests/support/besselI0.ts';
import { runKernel, type Signal } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

type Wave = 'sine' | 'triangle' | 'saw' | 'pulse';

const aliasOf = (signal: ArrayLike<number>, grid: number, bench: AliasBench): number => readAlias(signal, grid, bench).worst;

async function wave(bench: AliasBench, output: Wave, settings: Record<string, number | string>, inputs: Record<string, Signal> = {}) {
  const run = { quality: bench.quality, frames: SETTLE + ALIAS_FRAMES, settings, inputs, outputs: [output] };
  return (await runKernel(spec, run))[output] as Float32Array;
}

it('the method sees the alias of a plain saw', () => {
  const bench = aliasBench(1);
  const cycles = bench.cycles(1300);
  const plain = Float32Array.from({ length: SETTLE + ALIAS_FRAMES }, (_, n) => 10 * (((cycles * n) / ALIAS_FRAMES) % 1) - 5);
  expect(aliasOf(plain, cycles, bench)).toBeGreaterThan(-40);
});

describe.each([
  [1, -112],
  [2, -130],
  [4, -140],
] as const)('steady waves at quality %i', (quality, bar) => {
  const bench = aliasBench(quality);
  it.each(['saw', 'pulse', 'triangle', 'sine'] as const)(`the alias of the %s between 1.3 and 4 kHz is below ${bar} dB`, async (output) => {
    for (const hz of [1300, 1777, 2500, 3100, 4000]) {
      const cycles = bench.cycles(hz);
      const signal = await wave(bench, output, { tune: bench.hz(cycles) });
      expect(aliasOf(signal, cycles, bench), `${hz} Hz`).toBeLessThan(bar);
    }
  });
});

describe.each([
  { quality: 1, linear: -75, exponential: -110, width: -65, sync: -70 },
  { quality: 4, linear: -120, exponential: -125, width: -100, sync: -120 },
] as const)('modulated waves at quality $quality', ({ quality, ...bars }) => {
  const bench = aliasBench(quality);
  /** Common divisor, and multiples of it for modulator and carrier. */
  const pairs = [
    [150, 3, 5],
    [294, 5, 2],
    [733, 1, 2],
    [587, 7, 2],
  ] as const;

  it.each(['saw', 'pulse', 'triangle', 'sine'] as const)(
    `linear, through zero, up to 4 kHz: %s below ${bars.linear} dB`,
    async (output) => {
      for (const [step, modulator, carrier] of pairs) {
        const grid = bench.cycles(step);
        const settings = { tune: bench.hz(carrier * grid), fmLinAmount: 0.5 };
        const signal = await wave(bench, output, settings, { fmLin: coherentSine(modulator * grid, 5) });
        expect(aliasOf(signal, grid, bench), `${step} x ${modulator}:${carrier} Hz`).toBeLessThan(bars.linear);
      }
    },
  );

  it.each(['saw', 'pulse', 'triangle'] as const)(`exponential, an octave up and down: %s below ${bars.exponential} dB`, async (output) => {
    for (const [step, modulator, carrier] of pairs.slice(0, 3)) {
      const grid = bench.cycles(step);
      const tune = bench.hz(carrier * grid) / besselI0(Math.LN2);
      const signal = await wave(bench, output, { tune, fmExpAmount: 0.2 }, { fmExp: coherentSine(modulator * grid, 5) });
      expect(aliasOf(signal, grid, bench), `${step} x ${modulator}:${carrier} Hz`).toBeLessThan(bars.exponential);
    }
  });

  it(`width, between 0.1 and 0.9: below ${bars.width} dB`, async () => {
    for (const [step, modulator, carrier] of [...pairs.slice(0, 3), [733, 3, 2] as const]) {
      const grid = bench.cycles(step);
      const settings = { tune: bench.hz(carrier * grid), widthAmount: 0.8 };
      const signal = await wave(bench, 'pulse', settings, { width: coherentSine(modulator * grid, 5) });
      expect(aliasOf(signal, grid, bench), `${step} x ${modulator}:${carrier} Hz`).toBeLessThan(bars.width);
    }
  });

  it.each(['hard', 'soft'] as const)(`%s sync to a saw up to 1.4 kHz: all waves below ${bars.sync} dB`, async (sync) => {
    for (const hz of [110, 440, 1400]) {
      // Soft sync turns the wave twice before it repeats: the grid is half the master.
      const grid = bench.cycles(sync === 'soft' ? hz / 2 : hz);
      const master = sync === 'soft' ? 2 * grid : grid;
      const saw = await wave(bench, 'saw', { tune: bench.hz(master) });
      for (const ratio of [1.37, 2.71, 5.3]) {
        const run = { quality, frames: SETTLE + ALIAS_FRAMES, settings: { tune: ratio * bench.hz(master), sync }, inputs: { sync: saw } };
        const out = await runKernel(spec, run);
        for (const output of ['saw', 'pulse', 'triangle', 'sine'] as const) {
          expect(aliasOf(out[output] as Float32Array, grid, bench), `${output}, ${hz} Hz x ${ratio}`).toBeLessThan(bars.sync);
        }
      }
    }
  });
});
