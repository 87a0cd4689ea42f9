// @vitest-environment node
/**
 * Alias, measured coherently: all that moves makes whole odd numbers of cycles in 65536 frames, so that every true line falls on a
 * multiple of their common divisor `grid`, and what folds at the rate (a power of two of bins) falls between. Levels are relative to
 * the strongest line. The signal is read at the engine rate; a decimator behind it removes what lies above the band measured.
 */
import { describe, expect, it } from 'vitest';
import { type KernelRun, runKernel, type Signal } from '../../../tests/support/runKernel.ts';
import { createAnalyser } from '../../measure/spectrum.ts';
import { spec } from './spec.ts';

const size = 65536;
const settle = 8192;
const outputRate = 48000;
const analyser = createAnalyser(size, 'none');
type Wave = 'sine' | 'triangle' | 'saw' | 'pulse';

type Quality = NonNullable<KernelRun['quality']>;

interface Bench {
  readonly quality: Quality;
  /** Highest frequency measured, Hz. */
  readonly top: number;
  /** Hz of a number of cycles in 65536 frames, and an odd number of cycles near a frequency. */
  hz(cycles: number): number;
  cycles(hz: number): number;
}

function benchAt(quality: Quality): Bench {
  const rate = outputRate * quality;
  return {
    quality,
    top: quality === 1 ? 16000 : 20000,
    hz: (cycles) => (cycles * rate) / size,
    cycles: (hz) => 2 * Math.round((hz * size) / rate / 2 - 0.5) + 1,
  };
}

/** Strongest alias line up to `top`, in dB re the strongest true line, from the settled part of a signal. */
function aliasOf(signal: ArrayLike<number>, grid: number, bench: Bench, top = bench.top): number {
  const lines = analyser.amplitudes(signal, settle);
  let [alias, strongest] = [0, 0];
  for (let bin = 1; bin <= top / bench.hz(1); bin++) {
    const volts = lines[bin] as number;
    if (bin % grid === 0) strongest = Math.max(strongest, volts);
    else alias = Math.max(alias, volts);
  }
  return 20 * Math.log10(alias / strongest);
}

async function wave(bench: Bench, output: Wave, settings: Record<string, number | string>, inputs: Record<string, Signal> = {}) {
  const run = { quality: bench.quality, frames: settle + size, settings, inputs, outputs: [output] };
  return (await runKernel(spec, run))[output] as Float32Array;
}

const sine = (cycles: number, volts: number) => (n: number) => volts * Math.sin((2 * Math.PI * cycles * n) / size);
/** Modified Bessel function I0: mean of 2^(a sin), which exponential modulation puts on the pitch, is I0(a ln 2) (DLMF 10.32.1). */
const besselI0 = (x: number): number => {
  let [sum, term] = [1, 1];
  for (let k = 1; k < 30; k++) sum += term *= (x / 2 / k) ** 2;
  return sum;
};

it('the method sees the alias of a plain saw', () => {
  const bench = benchAt(1);
  const cycles = bench.cycles(1300);
  const plain = Float32Array.from({ length: settle + size }, (_, n) => 10 * (((cycles * n) / size) % 1) - 5);
  expect(aliasOf(plain, cycles, bench)).toBeGreaterThan(-40);
});

describe.each([
  [1, -112],
  [2, -130],
  [4, -140],
] as const)('steady waves at quality %i', (quality, bar) => {
  const bench = benchAt(quality);
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
  const bench = benchAt(quality);
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
        const signal = await wave(bench, output, settings, { fmLin: sine(modulator * grid, 5) });
        expect(aliasOf(signal, grid, bench), `${step} x ${modulator}:${carrier} Hz`).toBeLessThan(bars.linear);
      }
    },
  );

  it.each(['saw', 'pulse', 'triangle'] as const)(`exponential, an octave up and down: %s below ${bars.exponential} dB`, async (output) => {
    for (const [step, modulator, carrier] of pairs.slice(0, 3)) {
      const grid = bench.cycles(step);
      const tune = bench.hz(carrier * grid) / besselI0(Math.LN2);
      const signal = await wave(bench, output, { tune, fmExpAmount: 0.2 }, { fmExp: sine(modulator * grid, 5) });
      expect(aliasOf(signal, grid, bench), `${step} x ${modulator}:${carrier} Hz`).toBeLessThan(bars.exponential);
    }
  });

  it(`width, between 0.1 and 0.9: below ${bars.width} dB`, async () => {
    for (const [step, modulator, carrier] of [...pairs.slice(0, 3), [733, 3, 2] as const]) {
      const grid = bench.cycles(step);
      const settings = { tune: bench.hz(carrier * grid), widthAmount: 0.8 };
      const signal = await wave(bench, 'pulse', settings, { width: sine(modulator * grid, 5) });
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
        const run = { quality, frames: settle + size, settings: { tune: ratio * bench.hz(master), sync }, inputs: { sync: saw } };
        const out = await runKernel(spec, run);
        for (const output of ['saw', 'pulse', 'triangle', 'sine'] as const) {
          expect(aliasOf(out[output] as Float32Array, grid, bench), `${output}, ${hz} Hz x ${ratio}`).toBeLessThan(bars.sync);
        }
      }
    }
  });
});
