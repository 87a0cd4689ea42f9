// @vitest-environment node
import { describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { encodeWav, type WavFormat } from '../../src/notebook/wav.ts';
import reference from './data/wav_headers.json' with { type: 'json' };

/**
 * Headers: data/wav_headers.json, computed from the RIFF/WAVE specification (IBM/Microsoft, 1991) and found equal to
 * what SoX writes; from the project's reference data.
 */
const formats: Readonly<Record<number, WavFormat>> = { 16: '16', 24: '24', 32: 'float' };

describe('WAV headers', () => {
  it.each(reference.cases)('$bits bits, $channels channels, $sample_rate Hz, $frames frames: byte for byte', (known) => {
    const channels = Array.from({ length: known.channels }, () => new Float32Array(known.frames));
    const bytes = encodeWav(channels, known.sample_rate, formats[known.bits] ?? '16');
    expect(Buffer.from(bytes.subarray(0, known.header_bytes)).toString('hex')).toBe(known.header_hex);
    expect(bytes).toHaveLength(known.file_bytes);
  });
});

describe('WAV samples', () => {
  const left = Float32Array.of(0, 0.5, -0.5, 1, -1, 1.5, -3, 1e-4);
  const right = left.map((sample) => -sample);

  it.each([
    ['16', 32768],
    ['24', 8388608],
  ] as const)('%s bits: another reader finds each sample rounded to a step, clipped at full scale', (format, scale) => {
    const wav = new wavefile.WaveFile(encodeWav([left, right], 48000, format));
    const [readLeft, readRight] = wav.getSamples(false, Int32Array) as unknown as Int32Array[];
    const step = (sample: number): number => Math.max(-scale, Math.min(scale - 1, Math.round(sample * scale))) + 0;
    expect([...(readLeft ?? [])]).toEqual([...left].map(step));
    expect([...(readRight ?? [])]).toEqual([...right].map(step));
  });

  it('float: another reader finds the same bits, beyond full scale as well', () => {
    const wav = new wavefile.WaveFile(encodeWav([left, right], 48000, 'float'));
    const [readLeft] = wav.getSamples(false, Float32Array) as unknown as Float32Array[];
    expect(readLeft).toEqual(left);
  });
});
