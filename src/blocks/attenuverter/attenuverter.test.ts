// @vitest-environment node
import { expect, it } from 'vitest';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

it('out = in x gain + offset, within the rails', async () => {
  const wave = (n: number): number => 9 * Math.sin(n * 0.05);
  const { out } = await runKernel(spec, { frames: 300, settings: { gain: -1.5, offset: 2 }, inputs: { in: wave } });
  for (let n = 0; n < 300; n++) expect(out![n]).toBeCloseTo(Math.min(Math.max(wave(n) * -1.5 + 2, -12), 12), 5);
  expect(Math.max(...out!)).toBe(12);
});

it('alone it is a voltage source: gain times 8 V plus offset', async () => {
  const { out } = await runKernel(spec, { frames: 200, settings: { gain: 0.25, offset: -3 } });
  expect(out!.every((volts) => volts === -1)).toBe(true);
});

it('gain and offset glide', async () => {
  const { out } = await runKernel(spec, {
    frames: 400,
    inputs: { in: 0 },
    events: [{ frame: 16, setting: 'offset', value: 6, glide: 240 }],
  });
  for (let n = 0; n < 400; n++) expect(out![n]).toBeCloseTo(6 * Math.min(Math.max((n - 16) / 240, 0), 1), 5);
});

/** dB at a frequency, from the response to one frame of 8 V. */
async function couplingAt(sampleRate: number, frequencies: readonly number[]): Promise<number[]> {
  const frames = Math.round(sampleRate * 1.5);
  const { out } = await runKernel(spec, { sampleRate, frames, settings: { coupling: 'ac' }, inputs: { in: (n) => (n === 0 ? 8 : 0) } });
  return frequencies.map((hertz) => {
    let re = 0;
    let im = 0;
    for (let n = 0; n < frames; n++) {
      re += (out![n]! / 8) * Math.cos((2 * Math.PI * hertz * n) / sampleRate);
      im -= (out![n]! / 8) * Math.sin((2 * Math.PI * hertz * n) / sampleRate);
    }
    return 10 * Math.log10(re * re + im * im);
  });
}

it.each([8000, 44100, 192000])(
  'ac coupling is 3.0103 dB down at 5 Hz and 6.9897 dB at half of it (RC high-pass), at %i Hz',
  async (sampleRate) => {
    const [at5, at2] = await couplingAt(sampleRate, [5, 2.5]);
    expect(at5).toBeCloseTo(-3.0103, 2);
    expect(at2).toBeCloseTo(-6.9897, 2);
  },
);

it('ac coupling lets no direct voltage through, dc coupling does', async () => {
  const inputs = { in: 8 };
  const ac = await runKernel(spec, { frames: 48000, settings: { coupling: 'ac', offset: 1 }, inputs });
  const dc = await runKernel(spec, { frames: 48000, settings: { coupling: 'dc', offset: 1 }, inputs });
  expect(ac.out!.at(-1)).toBeCloseTo(1, 6);
  expect(dc.out!.at(-1)).toBe(9);
});
