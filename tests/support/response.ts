/** Filters measured from outside: gain from an impulse response, frequency and growth of an oscillation. */

/** Gain in dB at a frequency, from the response to an impulse of `height` volts: its Fourier transform at that frequency. */
export function gainAt(impulseResponse: Float32Array, hz: number, rate: number, height = 1): number {
  const angle = (2 * Math.PI * hz) / rate;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  let [re, im, a, b] = [0, 0, 1, 0];
  for (const volts of impulseResponse) {
    re += volts * a;
    im -= volts * b;
    [a, b] = [a * c - b * s, a * s + b * c];
  }
  return 20 * Math.log10(Math.hypot(re, im) / height);
}

/** An impulse of `height` volts on frame 0. */
export const impulse =
  (height = 1) =>
  (frame: number): number =>
    frame === 0 ? height : 0;

/** Frames, with fractions, at which the signal crosses 0 going up. */
export function upwardCrossings(signal: Float32Array, from = 0): number[] {
  const at: number[] = [];
  for (let n = from + 1; n < signal.length; n++) {
    const [a, b] = [signal[n - 1] as number, signal[n] as number];
    if (a < 0 && b >= 0) at.push(n - 1 + a / (a - b));
  }
  return at;
}

/** Cycles from the first crossing to a frame between the first and the last, fractions by a straight line between two crossings. */
export function cyclesAt(crossings: readonly number[], frame: number): number {
  const next = crossings.findIndex((at) => at > frame);
  const [before, after] = [crossings[next - 1], crossings[next]];
  if (before === undefined || after === undefined) throw new Error('The frame lies outside the crossings.');
  return next - 1 + (frame - before) / (after - before);
}

/** Frequency in Hz of a steady oscillation from frame `from` on, counted over all whole cycles there. */
export function frequencyOf(signal: Float32Array, rate: number, from = 0): number {
  const at = upwardCrossings(signal, from);
  if (at.length < 3) throw new Error('No oscillation to measure.');
  return ((at.length - 1) * rate) / ((at.at(-1) as number) - (at[0] as number));
}

/** Phase in radians of the tone at `hz`, by least squares over `span` frames from `from` on. */
function phaseAt(signal: Float32Array, hz: number, rate: number, from: number, span: number): number {
  let [ss, sc, cc, ys, yc] = [0, 0, 0, 0, 0];
  for (let n = from; n < from + span; n++) {
    const angle = (2 * Math.PI * hz * n) / rate;
    const [s, c, y] = [Math.sin(angle), Math.cos(angle), signal[n] as number];
    ss += s * s;
    sc += s * c;
    cc += c * c;
    ys += y * s;
    yc += y * c;
  }
  return Math.atan2(yc * ss - ys * sc, ys * cc - yc * sc);
}

/** Frequency in Hz of a pure tone: counted by its crossings, then refined by its phases at both ends of the signal. */
export function toneFrequency(signal: Float32Array, rate: number, span = 4096): number {
  const hz = frequencyOf(signal, rate);
  const last = signal.length - span;
  const turn = phaseAt(signal, hz, rate, last, span) - phaseAt(signal, hz, rate, 0, span);
  return hz + (Math.atan2(Math.sin(turn), Math.cos(turn)) * rate) / (2 * Math.PI * last);
}

export function cents(hz: number, reference: number): number {
  return 1200 * Math.log2(hz / reference);
}

/** Largest |volts| from frame `from` on. */
export function peakOf(signal: Float32Array, from = 0, to = signal.length): number {
  let peak = 0;
  for (let n = from; n < to; n++) peak = Math.max(peak, Math.abs(signal[n] as number));
  return peak;
}

export function rmsOf(signal: Float32Array, from = 0, to = signal.length): number {
  let sum = 0;
  for (let n = from; n < to; n++) sum += (signal[n] as number) ** 2;
  return Math.sqrt(sum / (to - from));
}
