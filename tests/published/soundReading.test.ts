// @vitest-environment node
/**
 * The sample player's band-limited interpolation against the design formulas of its window. J. F. Kaiser, "Nonrecursive digital
 * filter design using the I0-sinh window function", ISCAS 1974, as given by Oppenheim and Schafer, Discrete-Time Signal Processing:
 * beta = 0.1102 (A - 8.7) for a stop band A dB down, and A = 7.95 + 2.285 N (w_s - w_p) for N points between them. A windowed sinc is
 * 6.02 dB down at its cutoff. Theory of reading a sound at any place: J. O. Smith, P. Gossett, ICASSP 1984.
 */
import { describe, expect, it } from 'vitest';
import { spec } from '../../src/blocks/samplePlayer/spec.ts';
import { createAnalyser } from '../../src/measure/spectrum.ts';
import { runKernel } from '../support/runKernel.ts';

const BETA = 10;
const POINTS = 64;
/** dB down. */
const DOWN = BETA / 0.1102 + 8.7;
/** Width of the band between passed and stopped, as a share of the rate of file or frames, whichever is lower. */
const BETWEEN = (DOWN - 7.95) / (2.285 * POINTS) / (2 * Math.PI);

const rate = 48000;
const size = 32768;
const settle = 2048;
const analyser = createAnalyser(size, 'sevenTerm');
/** Bins that a line takes under that window. */
const LINE = 8;

interface Heard {
  /** The sine itself, or where it folds to, in dB re the sine in the file. */
  readonly tone: number;
  /** Strongest other line up to 20 kHz. */
  readonly others: number;
}

/** A sine of `hz` in a file at `fileRate`, played `octaves` up. */
async function hear(hz: number, fileRate: number, octaves: number, quality = 1): Promise<Heard> {
  const [up, engineRate] = [2 ** Math.fround(octaves), rate * quality];
  const frames = Math.ceil(((size + settle) * up * fileRate) / engineRate) + 4;
  const file = Float32Array.from({ length: frames }, (_, n) => 0.5 * Math.sin((2 * Math.PI * hz * n) / fileRate));
  const { left } = await runKernel(spec, {
    frames: size + settle,
    quality: quality as 1,
    settings: { recording: 'tone' },
    inputs: { play: 8, pitch: octaves },
    outputs: ['left'],
    recordings: new Map([['tone', { rate: fileRate, channels: [file] }]]),
  });
  const sounds = (hz * up * size) / engineRate;
  // Beyond half the rate, where it folds to.
  const at = Math.abs(sounds - size * Math.round(sounds / size));
  const top = (20000 * size) / engineRate;
  const ideal = Float64Array.from({ length: size }, (_, n) => 5 * Math.sin((2 * Math.PI * at * n) / size));
  const level = strongest(analyser.amplitudes(ideal), at - 1, at + 1);
  const lines = analyser.amplitudes(left as Float32Array, settle);
  return {
    tone: strongest(lines, at - 1, at + 1) - level,
    others: Math.max(strongest(lines, 0, Math.min(top, at - LINE)), strongest(lines, at + LINE, top)),
  };
}

/** dB re 5 V of the strongest of some bins. */
function strongest(lines: Float64Array, from: number, to: number): number {
  let found = 0;
  for (let bin = Math.max(0, Math.ceil(from)); bin <= Math.min(to, size / 2); bin++) found = Math.max(found, lines[bin] as number);
  return 20 * Math.log10(found / 5);
}

it('follows from the formulas as the kernel says: 99 dB, passed to 0.45 of the rate', () => {
  expect(DOWN).toBeCloseTo(99.4, 1);
  expect(0.5 - BETWEEN / 2).toBeCloseTo(0.45, 3);
});

describe('what is not in the file stays below the stop band', () => {
  const cases = [44100, 48000, 96000].flatMap((fileRate) =>
    [-2, -1, -0.1, -0.01, 0, 0.01, 0.37, 1, 1.5, 2].map((octaves) => [fileRate, octaves] as const),
  );
  it.each(cases)('file at %i Hz, %f octaves up', async (fileRate, octaves) => {
    const up = 2 ** octaves;
    const worst: number[] = [];
    for (const hz of [997, 7001, 18013]) {
      // As it sounds, unless the file cannot hold it.
      const inFile = Math.min(hz / up, 0.44 * fileRate);
      worst.push((await hear(inFile, fileRate, octaves)).others);
    }
    expect(Math.max(...worst)).toBeLessThan(-DOWN);
  });

  it.each([1, 2, 4, 8])('at quality %i as well', async (quality) => {
    expect((await hear(17011, 44100, -0.21, quality)).others).toBeLessThan(-DOWN);
  });
});

describe('what would fold is taken out', () => {
  // The band between reaches from 0.45 to 0.55 of the frame rate: 26.4 kHz at 48 kHz folds to 21.6 kHz.
  it.each([
    [14000, 48000, 1],
    [21000, 48000, 1],
    [6700, 48000, 2],
    [17000, 48000, 2],
    [19000, 44100, 0.6],
    [27000, 96000, 0],
    [45000, 96000, 0],
    [40000, 192000, 0],
  ])('%i Hz in a file at %i Hz, %f octaves up', async (hz, fileRate, octaves) => {
    const { tone, others } = await hear(hz, fileRate, octaves);
    expect(Math.max(tone, others)).toBeLessThan(-DOWN);
  });
});

describe('what is in the file comes out as it is', () => {
  it.each([
    [0.1, 0],
    [0.3, 0],
    [0.44, 0],
    [0.1, -1.3],
    [0.3, -1.3],
    [0.44, -1.3],
  ])('%f of the file rate, %f octaves up, within 0.001 dB', async (share, octaves) => {
    expect(Math.abs((await hear(share * 44100, 44100, octaves)).tone)).toBeLessThan(0.001);
  });

  it.each([0.5, 1, 2])('up to 0.44 of the frame rate, %f octaves up, within 0.001 dB', async (octaves) => {
    for (const hz of [1000, 12000, 0.44 * rate]) expect(Math.abs((await hear(hz / 2 ** octaves, 48000, octaves)).tone)).toBeLessThan(0.001);
  });

  it('and is 6.02 dB down at half the frame rate: what lies as far above it as below adds up to 1', async () => {
    for (const apart of [200, 1000]) {
      const [below, above] = [await hear(24000 - apart, 96000, 0), await hear(24000 + apart, 96000, 0)];
      expect(10 ** (below.tone / 20) + 10 ** (above.tone / 20)).toBeCloseTo(1, 4);
      expect(above.tone).toBeLessThan(-6.02);
    }
  });
});
