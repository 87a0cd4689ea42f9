/** Where gates rise and fall, seen as every block sees them: up at 1.5 V, down below 1.0 V (common practice, no source). */

function changes(gate: Float32Array, wanted: boolean): number[] {
  const frames: number[] = [];
  let high = false;
  for (let n = 0; n < gate.length; n++) {
    const now: boolean = (gate[n] as number) >= (high ? 1 : 1.5);
    if (now !== high && now === wanted) frames.push(n);
    high = now;
  }
  return frames;
}

/** Frames on which the gate is high after being low; a gate that is high on frame 0 rises there. */
export function rises(gate: Float32Array): number[] {
  return changes(gate, true);
}

/** Frames on which the gate is low after being high. */
export function falls(gate: Float32Array): number[] {
  return changes(gate, false);
}

/** A gate that is high over the given stretches [from, to). */
export function gateSignal(...high: readonly (readonly [number, number])[]): (frame: number) => number {
  return (frame) => (high.some(([from, to]) => frame >= from && frame < to) ? 8 : 0);
}

/** A regular clock: one pulse every `interval` frames from `first` on, high for `length` frames. */
export function clockSignal(interval: number, first = 0, length = Math.floor(interval / 2)): (frame: number) => number {
  return (frame) => (frame >= first && (frame - first) % interval < length ? 8 : 0);
}
