/**
 * Reading sound files: RIFF/WAVE with plain or extensible format (IBM/Microsoft 1991; Microsoft, "Multiple Channel Audio Data and
 * WAVE Files", 2001): integers of 8, 16, 24 and 32 bits and floats of 32 and 64, one or two channels. The same bytes give the same
 * samples in the browser and on the command line.
 */
import { MAXIMUM_RECORDING_BYTES, MAXIMUM_RECORDING_SECONDS } from '../patch/limits.ts';
import { isRefusal, type Refusal, refuse } from '../patch/refusal.ts';

/** Full scale is 1. */
export interface DecodedSound {
  /** Frames per second. */
  readonly rate: number;
  /** One or two channels of equal length. */
  readonly channels: readonly Float32Array<ArrayBuffer>[];
}

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;
/** What follows the two bytes of the format in the subformat of an extensible file. */
const SUBFORMAT_TAIL = [0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80, 0x00, 0x00, 0xaa, 0x00, 0x38, 0x9b, 0x71];
/** Programs that write into a pipe do not know the length and name one from here on. */
const UNKNOWN_LENGTH = 0x7ffff000;
const LOWEST_RATE = 1000;
const HIGHEST_RATE = 192_000;
/** Floats beyond this (40 dB over full scale) are limited to it. */
const MOST = 100;

/** A sound of the size that a patch may carry: 30 seconds and 10 MB. */
export function readSoundFile(bytes: Uint8Array): DecodedSound | Refusal {
  const tooLarge = checkSoundBytes(bytes.length);
  if (tooLarge) return tooLarge;
  return decodeWav(bytes, MAXIMUM_RECORDING_SECONDS);
}

export function checkSoundBytes(bytes: number): Refusal | undefined {
  if (bytes <= MAXIMUM_RECORDING_BYTES) return undefined;
  const [most, has] = [MAXIMUM_RECORDING_BYTES / 1e6, (bytes / 1e6).toFixed(1)];
  return refuse('too-large', `A sound file has at most ${most} MB; this one has ${has} MB.`);
}

export function checkSoundSeconds(seconds: number, most = MAXIMUM_RECORDING_SECONDS): Refusal | undefined {
  if (seconds <= most) return undefined;
  return refuse('too-large', `A sound file lasts ${most} seconds at most; this one lasts ${seconds.toFixed(1)}.`);
}

interface Format {
  readonly float: boolean;
  readonly channels: number;
  readonly rate: number;
  /** Bytes of one sample. */
  readonly width: number;
}

/** A refusal with a sentence where the bytes are no such file or it lasts longer than `most` seconds. */
export function decodeWav(bytes: Uint8Array, most = Number.POSITIVE_INFINITY): DecodedSound | Refusal {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 12 || word(view, 0) !== 'RIFF' || word(view, 8) !== 'WAVE') return refuse('not-a-sound', 'This is no WAV file.');
  let format: Format | undefined;
  for (let at = 12; at + 8 <= bytes.length; ) {
    const [name, said] = [word(view, at), view.getUint32(at + 4, true)];
    const [begin, there] = [at + 8, bytes.length - at - 8];
    if (name === 'fmt ') {
      const read = readFormat(view, begin, Math.min(said, there));
      if (isRefusal(read)) return read;
      format = read;
    } else if (name === 'data') {
      if (!format) return refuse('not-a-sound', 'This WAV file is damaged: its sound comes before its format.');
      if (said > there && said < UNKNOWN_LENGTH) {
        return refuse('not-a-sound', `This WAV file is cut off: ${said} bytes of sound are announced and ${there} are there.`);
      }
      return readSamples(view, begin, Math.min(said, there), format, most);
    }
    // Chunks have even length.
    at = begin + said + (said & 1);
  }
  return refuse('not-a-sound', `This WAV file is damaged: it has no ${format ? 'sound' : 'format'} in it.`);
}

function word(view: DataView, at: number): string {
  return String.fromCharCode(...[0, 1, 2, 3].map((i) => view.getUint8(at + i)));
}

function readFormat(view: DataView, at: number, length: number): Format | Refusal {
  if (length < 16) return refuse('not-a-sound', 'This WAV file is damaged: its format is too short.');
  let code = view.getUint16(at, true);
  const [channels, rate] = [view.getUint16(at + 2, true), view.getUint32(at + 4, true)];
  const width = channels === 0 ? 0 : view.getUint16(at + 12, true) / channels;
  if (code === EXTENSIBLE) {
    const known = length >= 40 && SUBFORMAT_TAIL.every((byte, i) => view.getUint8(at + 26 + i) === byte);
    if (!known) return refuse('not-a-sound', 'This WAV file holds sound in a form of its own, which cannot be read here.');
    code = view.getUint16(at + 24, true);
  }
  if (code !== PCM && code !== FLOAT) {
    return refuse('not-a-sound', `This WAV file holds compressed sound (format ${code}); plain integers and floats can be read.`);
  }
  const widths = code === FLOAT ? [4, 8] : [1, 2, 3, 4];
  if (!widths.includes(width)) {
    const bits = code === FLOAT ? 'floats of 32 or 64 bits' : 'integers of 8, 16, 24 or 32 bits';
    return refuse('not-a-sound', `The samples of this WAV file have ${8 * width} bits; it may have ${bits}.`);
  }
  if (channels > 2) return refuse('not-a-sound', `This WAV file has ${channels} channels; one or two can be played.`);
  if (rate < LOWEST_RATE || rate > HIGHEST_RATE) {
    return refuse('not-a-sound', `This WAV file has ${rate} frames a second; ${LOWEST_RATE} to ${HIGHEST_RATE} can be played.`);
  }
  return { float: code === FLOAT, channels, rate, width };
}

function readSamples(view: DataView, begin: number, length: number, format: Format, most: number): DecodedSound | Refusal {
  const { channels, rate, width } = format;
  const frames = Math.floor(length / (width * channels));
  if (frames === 0) return refuse('not-a-sound', 'This WAV file holds no sound: it has no samples.');
  const tooLong = checkSoundSeconds(frames / rate, most);
  if (tooLong) return tooLong;
  const read = readerOf(view, format);
  const sound: DecodedSound = { rate, channels: Array.from({ length: channels }, () => new Float32Array(frames)) };
  for (const [side, channel] of sound.channels.entries()) {
    const stride = width * channels;
    for (let n = 0, at = begin + side * width; n < frames; n++, at += stride) {
      const sample = read(at);
      if (!Number.isFinite(sample)) return refuse('not-a-sound', 'This WAV file holds values that are no numbers.');
      channel[n] = Math.max(-MOST, Math.min(MOST, sample));
    }
  }
  return sound;
}

/** Reads one sample at a byte offset. */
function readerOf(view: DataView, { float, width }: Format): (at: number) => number {
  if (float) return width === 4 ? (at) => view.getFloat32(at, true) : (at) => view.getFloat64(at, true);
  if (width === 1) return (at) => (view.getUint8(at) - 128) / 128;
  if (width === 2) return (at) => view.getInt16(at, true) / 32768;
  if (width === 3) return (at) => (view.getUint16(at, true) + view.getInt8(at + 2) * 65536) / 8388608;
  return (at) => view.getInt32(at, true) / 2147483648;
}
