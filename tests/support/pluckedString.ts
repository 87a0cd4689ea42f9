import type { BlockSpec } from '../../src/patch/blockSpec.ts';
import { cents } from './response.ts';
import { runKernel } from './runKernel.ts';
import { uniform } from './signals.ts';

const C4 = 440 * 2 ** (-9 / 12);

/**
 * K. Karplus and A. Strong, Computer Music Journal 7(2), 1983; D. Jaffe and J. Smith, same issue: a loop of one period, struck by a
 * burst of noise one period long. How many cents its fundamental lies off, from the phase that it gains over 0.7 s.
 */
export async function pluckedCents(
  spec: BlockSpec,
  hz: number,
  settings: Readonly<Record<string, number>>,
  engine: { readonly sampleRate?: number; readonly quality?: 1 | 4 } = {},
): Promise<number> {
  const rate = (engine.sampleRate ?? 48000) * (engine.quality ?? 1);
  const next = uniform(Math.round(hz));
  const burst = Float32Array.from({ length: Math.round(rate / hz) }, () => 6 * next() - 3);
  const inputs = { in: (n: number) => burst[n] ?? 0, pitch: Math.fround(Math.log2(hz / C4)) };
  const run = { ...engine, frames: 1.3 * rate, settings: { mix: 1, ...settings }, inputs, outputs: ['wet'] };
  const wet = (await runKernel(spec, run)).wet as Float32Array;
  const span = Math.round((rate / hz) * Math.round(hz / 4));
  const phaseAt = (start: number): number => {
    let [re, im] = [0, 0];
    for (let n = start; n < start + span; n++) {
      const volts = (wet[n] as number) * Math.sin((Math.PI * (n - start)) / span) ** 2;
      re += volts * Math.cos((2 * Math.PI * hz * n) / rate);
      im -= volts * Math.sin((2 * Math.PI * hz * n) / rate);
    }
    return Math.atan2(im, re) / (2 * Math.PI);
  };
  const gained = phaseAt(rate) - phaseAt(0.3 * rate);
  return cents(hz + (gained - Math.round(gained)) / 0.7, hz);
}
