/** Spectra of noise in third-octave bands (base ten, IEC 61260-1: band n is centred on 10^(n / 10) Hz). */
import { createAnalyser } from './spectrum.ts';

export interface Band {
  /** Centre frequency. */
  readonly hz: number;
  /** Mean power per hertz in dB, with a constant offset that does not depend on the rate. */
  readonly db: number;
}

/** Bands with centres from `lowest` to `highest` Hz, averaged over the whole signal, which should last many times 1/3 s. */
export function thirdOctaves(samples: ArrayLike<number>, rate: number, lowest: number, highest: number): readonly Band[] {
  const size = 2 ** Math.round(Math.log2(rate / 3));
  const analyser = createAnalyser(size, 'hann');
  const power = new Float64Array(size / 2);
  for (let at = 0; at + size <= samples.length; at += size / 2) {
    const amplitudes = analyser.amplitudes(samples, at);
    for (let k = 0; k < size / 2; k++) power[k] = (power[k] as number) + (amplitudes[k] as number) ** 2;
  }
  const passes = Math.max(1, Math.floor((2 * samples.length) / size) - 1);
  const bands: Band[] = [];
  for (let band = Math.round(10 * Math.log10(lowest)); band <= Math.round(10 * Math.log10(highest)); band++) {
    const hz = 10 ** (band / 10);
    const [from, to] = [Math.ceil((hz * 10 ** -0.05 * size) / rate), Math.ceil((hz * 10 ** 0.05 * size) / rate)];
    let sum = 0;
    for (let k = from; k < to; k++) sum += power[k] as number;
    bands.push({ hz, db: 10 * Math.log10(sum / (to - from) / passes) });
  }
  return bands;
}
