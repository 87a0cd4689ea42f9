/** What can be told of a voltage while it passes by, without keeping it. */

/** A gate is high from here on going up, until it falls below the other (as the engine's inputs see edges). */
const EDGE_ON = 1.5;
const EDGE_OFF = 1;
/** Voltages that differ by less stand still (our choice: a tenth of a millivolt). */
export const STILL_VOLTS = 1e-4;

export interface Figures {
  /** Volts. */
  readonly least: number;
  readonly most: number;
  readonly mean: number;
  /** Root mean square about the mean, in volts. */
  readonly rms: number;
  /** How often it rises as a gate does: to 1.5 V, after it was below 1 V. */
  readonly rises: number;
  /** Frame of the first and the last rise; -1 where there is none. */
  readonly firstRise: number;
  readonly lastRise: number;
  /** Share of the time in which it is high as a gate, 0..1. */
  readonly highShare: number;
  /** Frames on which it reached a rail (12 V) within a millivolt. */
  readonly atRail: number;
  /** Greatest step from one frame to the next, in volts. */
  readonly steepest: number;
  readonly frames: number;
}

export class Tally {
  #frames = 0;
  #least = Number.POSITIVE_INFINITY;
  #most = Number.NEGATIVE_INFINITY;
  #sum = 0;
  #squares = 0;
  #first = 0;
  #high = false;
  #rises = 0;
  #firstRise = -1;
  #lastRise = -1;
  #highFrames = 0;
  #atRail = 0;
  #steepest = 0;
  #before = 0;

  add(samples: Float32Array, count: number): void {
    if (count === 0) return;
    if (this.#frames === 0) {
      this.#first = samples[0] as number;
      this.#before = this.#first;
    }
    const first = this.#first;
    let high = this.#high;
    let before = this.#before;
    for (let i = 0; i < count; i++) {
      const x = samples[i] as number;
      if (x < this.#least) this.#least = x;
      if (x > this.#most) this.#most = x;
      // about the first value, so that a small movement on a high voltage keeps its digits
      const d = x - first;
      this.#sum += d;
      this.#squares += d * d;
      const step = x > before ? x - before : before - x;
      if (step > this.#steepest) this.#steepest = step;
      before = x;
      if (high) {
        if (x < EDGE_OFF) high = false;
      } else if (x >= EDGE_ON) {
        high = true;
        this.#rises++;
        this.#lastRise = this.#frames + i;
        if (this.#firstRise < 0) this.#firstRise = this.#lastRise;
      }
      if (high) this.#highFrames++;
      if (x >= 11.999 || x <= -11.999) this.#atRail++;
    }
    this.#high = high;
    this.#before = before;
    this.#frames += count;
  }

  figures(): Figures {
    const frames = this.#frames;
    const mean = frames === 0 ? 0 : this.#sum / frames;
    const rms = frames === 0 ? 0 : Math.sqrt(Math.max(0, this.#squares / frames - mean * mean));
    return {
      least: frames === 0 ? 0 : this.#least,
      most: frames === 0 ? 0 : this.#most,
      mean: this.#first + mean,
      rms,
      rises: this.#rises,
      firstRise: this.#firstRise,
      lastRise: this.#lastRise,
      highShare: frames === 0 ? 0 : this.#highFrames / frames,
      atRail: this.#atRail,
      steepest: this.#steepest,
      frames,
    };
  }
}

/** The figures of a voltage that never changes, as an unpatched input has. */
export function steadyFigures(volts: number, frames = 1): Figures {
  const tally = new Tally();
  tally.add(Float32Array.of(volts), 1);
  return { ...tally.figures(), least: volts, most: volts, mean: volts, frames };
}

/** Does it move at all? */
export function moves({ least, most }: Figures): boolean {
  return most - least > STILL_VOLTS;
}
