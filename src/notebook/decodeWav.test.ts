// @vitest-environment node
import { describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { isRefusal } from '../patch/refusal.ts';
import { decodeWav, readSoundFile } from './decodeWav.ts';
import { encodeWav } from './wav.ts';

const left = Float32Array.of(0, 0.5, -0.5, 0.25, -1, 0.999, 1e-4);
const right = left.map((sample) => sample / 2);

/** A file made by another writer. */
function made(channels: readonly Float32Array[], rate: number, depth: string, scale: number): Uint8Array {
  const wav = new wavefile.WaveFile();
  const whole = channels.map((channel) => Array.from(channel, (x) => (scale === 1 ? x : Math.round(x * scale))));
  wav.fromScratch(channels.length, rate, depth, channels.length === 1 ? (whole[0] as number[]) : (whole as unknown as number[]));
  return wav.toBuffer();
}

const decoded = (bytes: Uint8Array) => {
  const sound = decodeWav(bytes);
  if (isRefusal(sound)) throw new Error(sound.say);
  return sound;
};
const saysOf = (bytes: Uint8Array): string => {
  const sound = readSoundFile(bytes);
  return isRefusal(sound) ? sound.say : `read: ${sound.channels.length} channels`;
};

describe('decodeWav', () => {
  it.each([
    ['16', 32767, 1 / 32768],
    ['24', 8388607, 1 / 8388608],
    ['32', 2147483647, 1 / 2147483648],
    ['32f', 1, 0],
    ['64', 1, 0],
  ])('reads %s bits of another writer, mono and stereo, to a step', (depth, scale, step) => {
    for (const channels of [[left], [left, right]]) {
      const sound = decoded(made(channels, 44100, depth, scale));
      expect(sound.rate).toBe(44100);
      expect(sound.channels).toHaveLength(channels.length);
      for (const [i, channel] of channels.entries()) {
        for (const [n, sample] of channel.entries()) expect(Math.abs(sound.channels[i]![n]! - sample)).toBeLessThanOrEqual(2 * step + 6e-8);
      }
    }
  });

  it('reads 8 bits as unsigned, 128 being silence', () => {
    const bytes = encodeWav([new Float32Array(4)], 8000, '16').slice(0, 48);
    const view = new DataView(bytes.buffer);
    view.setUint16(32, 1, true); // bytes a frame
    view.setUint16(34, 8, true);
    view.setUint32(40, 4, true);
    bytes.set([128, 255, 0, 64], 44);
    expect([...decoded(bytes).channels[0]!]).toEqual([0, 127 / 128, -1, -0.5]);
  });

  it('gives back what was written, bit for bit as float', () => {
    for (const [format, step] of [
      ['float', 0],
      ['24', 1 / 8388608],
      ['16', 1 / 32768],
    ] as const) {
      const sound = decoded(encodeWav([left, right], 48000, format));
      for (const [n, sample] of right.entries()) expect(Math.abs(sound.channels[1]![n]! - sample)).toBeLessThanOrEqual(step);
    }
  });

  it('reads an extensible header, and passes over chunks that it does not know, odd ones too', () => {
    const plain = encodeWav([left], 22050, '16');
    const pcm = plain.slice(20, 36);
    pcm.set([0xfe, 0xff]);
    const tail = [22, 0, 16, 0, 4, 0, 0, 0, 1, 0, 0, 0, 0, 0, 16, 0, 128, 0, 0, 170, 0, 56, 155, 113];
    const chunk = (name: string, body: ArrayLike<number>): number[] => [
      ...Array.from(name, (letter) => letter.charCodeAt(0)),
      ...new Uint8Array(Uint32Array.of(body.length).buffer),
      ...Array.from(body),
      ...(body.length % 2 ? [0] : []),
    ];
    const file = (subformat: number[]): Uint8Array => {
      const body = [
        ...chunk('LIST', [1, 2, 3]),
        ...chunk('fmt ', [...pcm, ...subformat]),
        ...chunk('bext', [9]),
        ...chunk('data', plain.slice(44)),
      ];
      return Uint8Array.from([...chunk('RIFF', [...Array.from('WAVE', (letter) => letter.charCodeAt(0)), ...body])]);
    };
    expect(decoded(file(tail)).channels[0]).toEqual(decoded(plain).channels[0]);
    expect(saysOf(file(tail.with(23, 0)))).toBe('This WAV file holds sound in a form of its own, which cannot be read here.');
    expect(saysOf(file(tail.with(8, 0x55)))).toBe(
      'This WAV file holds compressed sound (format 85); plain integers and floats can be read.',
    );
  });

  it('reads what a program wrote into a pipe: the length is unknown', () => {
    const bytes = encodeWav([left], 48000, '16');
    new DataView(bytes.buffer).setUint32(40, 0xffffffff, true);
    expect(decoded(bytes).channels[0]).toHaveLength(left.length);
  });

  const changed = (at: number, value: number, size: 2 | 4 = 2): Uint8Array => {
    const bytes = encodeWav([left], 48000, '16');
    const view = new DataView(bytes.buffer);
    if (size === 2) view.setUint16(at, value, true);
    else view.setUint32(at, value, true);
    return bytes;
  };
  const float = (sample: number): Uint8Array => encodeWav([Float32Array.of(sample)], 48000, 'float');

  it.each([
    ['a text', new Uint8Array([...'Fog over the harbour'].map((letter) => letter.charCodeAt(0))), 'This is no WAV file.'],
    ['nothing', new Uint8Array(0), 'This is no WAV file.'],
    ['a header alone', encodeWav([left], 48000, '16').slice(0, 36), 'This WAV file is damaged: it has no sound in it.'],
    ['no format', encodeWav([left], 48000, '16').slice(0, 12), 'This WAV file is damaged: it has no format in it.'],
    [
      'a file cut off',
      encodeWav([left], 48000, '16').slice(0, 50),
      'This WAV file is cut off: 14 bytes of sound are announced and 6 are there.',
    ],
    ['no samples', encodeWav([new Float32Array(0)], 48000, '16'), 'This WAV file holds no sound: it has no samples.'],
    ['an odd width', changed(32, 5), 'The samples of this WAV file have 40 bits; it may have integers of 8, 16, 24 or 32 bits.'],
    ['three channels', encodeWav([left, left, left], 48000, '16'), 'This WAV file has 3 channels; one or two can be played.'],
    ['no channels', changed(22, 0), 'The samples of this WAV file have 0 bits; it may have integers of 8, 16, 24 or 32 bits.'],
    ['an absurd rate', changed(24, 1_000_000, 4), 'This WAV file has 1000000 frames a second; 1000 to 192000 can be played.'],
    ['no numbers', float(Number.NaN), 'This WAV file holds values that are no numbers.'],
    ['31 s', encodeWav([new Float32Array(8000 * 31)], 8000, '16'), 'A sound file lasts 30 seconds at most; this one lasts 31.0.'],
    ['10.1 MB', new Uint8Array(10_100_000), 'A sound file has at most 10 MB; this one has 10.1 MB.'],
  ])('refuses %s with a sentence', (_what, bytes, say) => {
    expect(saysOf(bytes)).toBe(say);
  });

  it('takes 30 seconds exactly, and limits floats far beyond full scale', () => {
    expect(saysOf(encodeWav([new Float32Array(8000 * 30)], 8000, '16'))).toBe('read: 1 channels');
    expect(decoded(float(3e38)).channels[0]![0]).toBe(100);
    expect(decoded(float(-7)).channels[0]![0]).toBe(-7);
  });
});
