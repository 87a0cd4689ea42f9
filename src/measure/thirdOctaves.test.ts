// @vitest-environment node
import { expect, it } from 'vitest';
import { uniform } from '../../tests/support/signals.ts';
import { thirdOctaves } from './thirdOctaves.ts';

const white = (rate: number): Float32Array => {
  const next = uniform(3);
  return Float32Array.from({ length: 20 * rate }, () => 2 * next() - 1);
};

// 20 s: the narrowest band (12 Hz wide) has a standard error of 4.343 / sqrt(12 x 20) = 0.28 dB.
it.each([44100, 96000])('white noise is flat, and reads its power per bin of about 2/3 s (%i Hz)', (rate) => {
  const bands = thirdOctaves(white(rate), rate, 50, 16000);
  expect(bands.map(({ hz }) => Math.round(hz)).slice(0, 3)).toEqual([50, 63, 79]);
  // Amplitudes squared are twice the power of a line; a Hann window spreads noise over 1.5 bins.
  const bin = rate / 2 ** Math.round(Math.log2(rate / 3));
  const expected = 10 * Math.log10((2 * 1.5 * bin * (2 / 3)) / rate);
  for (const { hz, db } of bands) expect(Math.abs(db - expected), `${hz} Hz`).toBeLessThan(hz < 500 ? 1 : 0.3);
});

it('averages over the bins of a band: a differentiator tilts white noise by 20 dB per decade', () => {
  const rate = 48000;
  const noise = white(rate);
  const bands = thirdOctaves(
    noise.map((x, n) => x - (noise[n - 1] ?? 0)),
    rate,
    100,
    2000,
  );
  const slope = ((bands.at(-1)?.db ?? 0) - (bands[0]?.db ?? 0)) / Math.log10((bands.at(-1)?.hz ?? 0) / (bands[0]?.hz ?? 1));
  expect(slope).toBeGreaterThan(19);
  expect(slope).toBeLessThan(21);
});
