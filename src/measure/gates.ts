/** When gates are high: the rhythm of a patch, seen as its blocks see it. */

/** A gate rises at this voltage and has fallen below GATE_DOWN: the thresholds of every input (common practice, no source). */
export const GATE_UP = 1.5;
export const GATE_DOWN = 1;

/** A gate that is high from frame `from` up to, but not on, frame `to`. */
export interface GateRun {
  readonly from: number;
  readonly to: number;
}

/** Runs within frames from..to-1, in order. One that is high on the first frame begins there; what is not a number is low. */
export function gateRuns(samples: ArrayLike<number>, from = 0, to = samples.length): GateRun[] {
  const runs: GateRun[] = [];
  let start = -1;
  for (let n = from; n < to; n++) {
    const high: boolean = (samples[n] as number) >= (start < 0 ? GATE_UP : GATE_DOWN);
    if (high && start < 0) start = n;
    else if (!high && start >= 0) {
      runs.push({ from: start, to: n });
      start = -1;
    }
  }
  if (start >= 0) runs.push({ from: start, to });
  return runs;
}

/**
 * Runs from least and greatest volts of each stretch of `frames` frames, with edges at the limits of the stretches. Told apart are
 * pulses that leave one whole stretch low between them; a short pulse takes one stretch.
 */
export function gateRunsOfPeaks(lowest: ArrayLike<number>, highest: ArrayLike<number>, frames: number): GateRun[] {
  const runs: GateRun[] = [];
  const count = highest.length;
  const least = (i: number): number => lowest[i] ?? 0;
  const greatest = (i: number): number => highest[i] ?? 0;
  let start = -1;
  const end = (i: number): void => {
    if (start >= 0) runs.push({ from: start * frames, to: i * frames });
    start = -1;
  };
  for (let i = 0; i < count; i++) {
    if (start < 0) {
      if (!(greatest(i) >= GATE_UP)) continue;
      start = i;
      // Low afterwards: the pulse was over within this stretch.
      if (!(greatest(i + 1) >= GATE_DOWN)) end(i + 1);
    } else if (!(least(i) >= GATE_DOWN)) {
      // It falls in this stretch; where the next is high all through, it has risen again.
      const again = greatest(i) >= GATE_UP && least(i + 1) >= GATE_DOWN;
      end(again || greatest(i) < GATE_DOWN ? i : i + 1);
      if (again) start = i;
    }
  }
  end(count);
  return runs;
}

/** Steady enough to count by: intervals that differ by no more than this share. */
export const STEADY = 0.02;

/** How a gate comes, in seconds. */
export interface Rhythm {
  /** Rises. */
  readonly count: number;
  /** Time from rise to rise: the mean of a steady gate, else the median; undefined below two rises. */
  readonly interval: number | undefined;
  /** Share by which intervals differ from that (the median of the differences); 0 is a steady beat. */
  readonly unevenness: number;
  /** Median time that it is high. */
  readonly length: number | undefined;
}

const median = (values: readonly number[]): number | undefined => {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  if (sorted.length === 0) return undefined;
  return sorted.length % 2 === 1 ? sorted[half] : ((sorted[half - 1] as number) + (sorted[half] as number)) / 2;
};

/** `grain`: seconds to which the edges are known. */
export function rhythmOf(runs: readonly GateRun[], rate: number, grain = 0): Rhythm {
  const steps = runs.slice(1).map((run, i) => (run.from - (runs[i] as GateRun).from) / rate);
  const mean = steps.reduce((sum, step) => sum + step, 0) / steps.length;
  const off = (step: number, from: number): number => Math.max(0, Math.abs(step - from) - grain) / from;
  const interval = steps.every((step) => off(step, mean) <= STEADY) && steps.length > 0 ? mean : median(steps);
  const unevenness = interval ? (median(steps.map((step) => off(step, interval))) ?? 0) : 0;
  return { count: runs.length, interval, unevenness, length: median(runs.map(({ from, to }) => (to - from) / rate)) };
}

/** Which of several gates gives the beat: of the steady ones with four rises at least, the slowest; undefined if none is steady. */
export function beatOf(rhythms: readonly Rhythm[]): number | undefined {
  let best: number | undefined;
  for (const [i, { count, interval, unevenness }] of rhythms.entries()) {
    if (count < 4 || interval === undefined || unevenness > STEADY) continue;
    if (best === undefined || interval > (rhythms[best]?.interval ?? 0) * 1.001) best = i;
  }
  return best;
}
