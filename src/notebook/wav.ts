/**
 * Sound files: RIFF/WAVE, interleaved, little-endian (IBM/Microsoft Multimedia Programming Interface and Data
 * Specifications 1.0, 1991). Integers are undithered: the same take gives the same bytes.
 */
export type WavFormat = '16' | '24' | 'float';

export const wavFormats: readonly WavFormat[] = ['16', '24', 'float'];

const INTEGER_HEADER = 44;
/** Formats other than plain integers carry a size field in `fmt ` and a `fact` chunk with the number of frames. */
const FLOAT_HEADER = 58;

/** `channels` of equal length, full scale 1; what lies beyond is clipped in the integer formats. */
export function encodeWav(channels: readonly Float32Array[], rate: number, format: WavFormat): Uint8Array<ArrayBuffer> {
  const frames = channels[0]?.length ?? 0;
  const width = { '16': 2, '24': 3, float: 4 }[format];
  const header = format === 'float' ? FLOAT_HEADER : INTEGER_HEADER;
  const dataBytes = frames * channels.length * width;
  // Chunks have even length; the pad byte counts for the file, not for the chunk.
  const bytes = new Uint8Array(header + dataBytes + (dataBytes & 1));
  const view = new DataView(bytes.buffer);
  writeHeader(view, { frames, rate, channels: channels.length, width, float: format === 'float', dataBytes });
  let at = header;
  for (let frame = 0; frame < frames; frame++) {
    for (const channel of channels) {
      const sample = channel[frame] as number;
      if (format === 'float') view.setFloat32(at, sample, true);
      else if (format === '16') view.setInt16(at, whole(sample, 32768), true);
      else {
        const value = whole(sample, 8388608);
        view.setUint16(at, value & 0xffff, true);
        view.setInt8(at + 2, value >> 16);
      }
      at += width;
    }
  }
  return bytes;
}

function whole(sample: number, scale: number): number {
  return Math.max(-scale, Math.min(scale - 1, Math.round(sample * scale)));
}

interface Header {
  readonly frames: number;
  readonly rate: number;
  readonly channels: number;
  /** Bytes of one sample. */
  readonly width: number;
  readonly float: boolean;
  readonly dataBytes: number;
}

function writeHeader(view: DataView, { frames, rate, channels, width, float, dataBytes }: Header): void {
  let at = 0;
  const word = (text: string): void => {
    for (const letter of text) view.setUint8(at++, letter.charCodeAt(0));
  };
  const u16 = (value: number): void => {
    view.setUint16(at, value, true);
    at += 2;
  };
  const u32 = (value: number): void => {
    view.setUint32(at, value, true);
    at += 4;
  };
  word('RIFF');
  u32(view.byteLength - 8);
  word('WAVEfmt ');
  u32(float ? 18 : 16);
  u16(float ? 3 : 1);
  u16(channels);
  u32(rate);
  u32(rate * channels * width);
  u16(channels * width);
  u16(width * 8);
  if (float) {
    u16(0);
    word('fact');
    u32(4);
    u32(frames);
  }
  word('data');
  u32(dataBytes);
}
