/** What the browser does for sound files: reading compressed ones, and the digest that names them. */
import type { DecodedSound } from '../../notebook/decodeWav.ts';

/** Compressed sound is brought to this rate. */
const RATE = 48000;

/** Whatever the browser can read; undefined where it cannot. The buffer may be gone afterwards. */
export async function decodeInBrowser(bytes: ArrayBuffer): Promise<DecodedSound | undefined> {
  if (typeof OfflineAudioContext === 'undefined') return undefined;
  try {
    const buffer = await new OfflineAudioContext(1, 1, RATE).decodeAudioData(bytes);
    const channels = Array.from({ length: buffer.numberOfChannels }, (_, i) => buffer.getChannelData(i));
    return { rate: buffer.sampleRate, channels };
  } catch {
    return undefined;
  }
}

/** SHA-256 in hexadecimal digits; undefined on pages that are not secure, where the browser has none. */
export async function digestOf(bytes: Uint8Array<ArrayBuffer>): Promise<string | undefined> {
  const digest = await globalThis.crypto?.subtle?.digest('SHA-256', bytes);
  return digest && Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('');
}
