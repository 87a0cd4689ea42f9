/**
 * How loud something is to the ear, as far as one number tells: the highest level with frequency weighting A and time weighting
 * "fast" (125 ms) of IEC 61672-1. Weighting A is what makes very low tones count for little.
 */
import { toDb } from './levels.ts';

/** The weighting's poles in Hz (IEC 61672-1, annex E): two each at the first and the last, one each at those between. */
const POLES = [20.598997, 107.65265, 737.86223, 12194.217] as const;
const FAST_SECONDS = 0.125;
/** From this power on (-20 dB) nobody asks further. */
const LOUD = 0.01;

/**
 * Listens to a signal while it passes by. What the signal begins with is taken to have been there for ever, so that a steady voltage
 * makes no click.
 */
export class Ear {
  readonly #low: readonly number[];
  readonly #top: number;
  readonly #gain: number;
  readonly #slow: number;
  // inputs and outputs of the four high-pass stages and the outputs of the two low-pass stages, one frame ago
  readonly #x = [0, 0, 0, 0];
  readonly #y = [0, 0, 0, 0, 0, 0];
  #t = 0;
  #begun = false;
  #power = 0;
  #most = 0;

  /** `fullScale`: what level 0 dB is, in the unit of the samples. */
  constructor(rate: number, fullScale = 1) {
    const warped = POLES.map((hz) => Math.tan((Math.PI * Math.min(hz, 0.45 * rate)) / rate));
    const [f1, f2, f3, f4] = warped as [number, number, number, number];
    this.#low = [f1, f1, f2, f3];
    this.#top = f4;
    this.#slow = 1 - Math.exp(-1 / (FAST_SECONDS * rate));
    const w = Math.tan((Math.PI * 1000) / rate);
    const high = this.#low.reduce((gain, k) => (gain * w) / Math.hypot(w, k), 1);
    this.#gain = 1 / (fullScale * high * (f4 / Math.hypot(w, f4)) ** 2);
  }

  /** Further samples; those after it was loud are passed over. */
  add(samples: Float32Array, count: number): void {
    if (count === 0 || this.isLoud) return;
    if (!this.#begun) {
      this.#begun = true;
      this.#x[0] = samples[0] as number;
    }
    if (this.#isStill(samples, count)) {
      this.#power *= (1 - this.#slow) ** count;
      return;
    }
    this.#hear(samples, count);
    for (let i = 0; i < 6; i++) if (Math.abs(this.#y[i] as number) < 1e-15) this.#y[i] = 0;
    if (Math.abs(this.#t) < 1e-15) this.#t = 0;
  }

  get isLoud(): boolean {
    return this.#most >= LOUD;
  }

  /** Highest level so far: of the effective value, re full scale, so that a full-scale sine of 1 kHz is -3 dB. -Infinity where there was nothing. */
  get level(): number {
    return 0.5 * toDb(this.#most);
  }

  /** The samples stand where they stood, and all has died away. */
  #isStill(samples: Float32Array, count: number): boolean {
    const x = this.#x[0] as number;
    for (let i = 0; i < count; i++) if (samples[i] !== x) return false;
    return this.#y.every((y) => y === 0) && this.#t === 0;
  }

  #hear(samples: Float32Array, count: number): void {
    const [x0 = 0, x1 = 0, x2 = 0, x3 = 0] = this.#x;
    let [a, b, c, d, e, f] = this.#y as [number, number, number, number, number, number];
    let [p, q, r, s] = [x0, x1, x2, x3];
    let t = this.#t;
    let power = this.#power;
    let most = this.#most;
    const slow = this.#slow;
    const gain = this.#gain;
    // first order by the bilinear transform: y = ((x - x') + (1 - k) y') / (1 + k), and the low pass k (x + x') + (1 - k) y' likewise
    const [g1, g2, g3, g4] = this.#low.map((k) => 1 / (1 + k)) as [number, number, number, number];
    const [h1, h2, h3, h4] = this.#low.map((k) => (1 - k) / (1 + k)) as [number, number, number, number];
    const top = this.#top / (1 + this.#top);
    const fall = (1 - this.#top) / (1 + this.#top);
    for (let i = 0; i < count; i++) {
      const x = samples[i] as number;
      const ya = (x - p) * g1 + h1 * a;
      const yb = (ya - q) * g2 + h2 * b;
      const yc = (yb - r) * g3 + h3 * c;
      const yd = (yc - s) * g4 + h4 * d;
      const ye = (yd + t) * top + fall * e;
      const yf = (ye + e) * top + fall * f;
      p = x;
      q = ya;
      r = yb;
      s = yc;
      t = yd;
      a = ya;
      b = yb;
      c = yc;
      d = yd;
      e = ye;
      f = yf;
      const heard = yf * gain;
      power += (heard * heard - power) * slow;
      if (power > most) most = power;
    }
    this.#x.splice(0, 4, p, q, r, s);
    this.#y.splice(0, 6, a, b, c, d, e, f);
    this.#t = t;
    this.#power = power;
    this.#most = most;
  }
}

const PIECE = 4096;

/** The highest level of several channels: see `Ear`. What is louder than -20 dB is not heard to its end, and may be louder still. */
export function loudestLevel(channels: readonly Float32Array[], rate: number): number {
  return Math.max(
    ...channels.map((channel) => {
      const ear = new Ear(rate);
      for (let at = 0; at < channel.length && !ear.isLoud; at += PIECE) ear.add(channel.subarray(at), Math.min(PIECE, channel.length - at));
      return ear.level;
    }),
  );
}
