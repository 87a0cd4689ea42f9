import { publishedWords } from './publishedTable.ts';

/**
 * Signal to alias in dB of a shaper without oversampling, by order of the antiderivative (0 = plain): alias_waveshapers.csv at
 * 48 kHz, 1699 cycles in 65536 frames (1244.38 Hz).
 */
export function publishedShaper(shaper: string, gain: number): readonly number[] {
  const [columns = [], ...rows] = publishedWords('alias_waveshapers');
  const at = (id: string): number => columns.indexOf(id);
  const wanted = { fs: '48000', k: '1699', shaper, amp: String(gain), os: '1' };
  const found = rows.filter((row) => Object.entries(wanted).every(([id, word]) => row[at(id)] === word));
  if (found.length === 0) throw new Error(`alias_waveshapers.csv has no ${shaper} at gain ${gain}.`);
  return found.map((row) => Number(row[at('snr_db')]));
}
