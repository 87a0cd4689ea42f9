/** The frames on which a gate rises, seen as every block sees them: up at 1.5 V, down below 1.0 V (src/dsp/edge). */

const ON = 1.5;
const OFF = 1;
/** No clock is that fast for that long: what comes beyond is not listed. */
const MOST = 65536;

export class EdgeCounter {
  readonly #frames: number[] = [];
  #high = false;

  /** Frames `at` .. `at + count - 1` of the gate; frames before 0 and from `end` on are not of the take. */
  see(samples: Float32Array, at: number, count: number, end: number): void {
    const to = Math.min(count, end - at);
    for (let i = Math.max(0, -at); i < to; i++) {
      const high: boolean = (samples[i] as number) >= (this.#high ? OFF : ON);
      if (high && !this.#high && this.#frames.length < MOST) this.#frames.push(at + i);
      this.#high = high;
    }
  }

  frames(): Int32Array<ArrayBuffer> {
    return Int32Array.from(this.#frames);
  }
}
