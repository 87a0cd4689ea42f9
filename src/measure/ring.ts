/** The latest frames of a tap, for scopes: a ring of fixed size, addressed by frame number since the start. */

export interface History {
  readonly capacity: number;
  /** Frame number behind the newest frame; frames end - capacity .. end - 1 are kept. */
  readonly end: number;
  /** Appends frames. `at` is the frame number of the first; a gap before it is filled with NaN, frames already held are skipped. */
  push(samples: ArrayLike<number>, at?: number): void;
  /** Copies frames from .. from + out.length - 1 into `out`; NaN where nothing is kept. */
  copy(from: number, out: Float32Array): void;
  /** Forgets everything; the next frame is number `at`. */
  clear(at?: number): void;
}

export function createHistory(capacity: number): History {
  const ring = new Float32Array(capacity).fill(Number.NaN);
  let end = 0;
  const store = (value: number): void => {
    ring[end % capacity] = value;
    end++;
  };
  return {
    capacity,
    get end() {
      return end;
    },
    push(samples, at = end) {
      if (at - end >= capacity) {
        ring.fill(Number.NaN);
        end = at;
      }
      while (end < at) store(Number.NaN);
      // Of more frames than fit, only the last matter.
      const first = Math.max(end - at, samples.length - capacity);
      end = Math.max(end, at + Math.min(first, samples.length));
      for (let i = first; i < samples.length; i++) store(samples[i] as number);
    },
    copy(from, out) {
      out.fill(Number.NaN);
      const last = Math.min(end, from + out.length);
      let frame = Math.max(0, end - capacity, from);
      while (frame < last) {
        const at = frame % capacity;
        const count = Math.min(last - frame, capacity - at);
        out.set(ring.subarray(at, at + count), frame - from);
        frame += count;
      }
    },
    clear(at = 0) {
      ring.fill(Number.NaN);
      end = at;
    },
  };
}
