/** Stepping through a take from beat to beat. Pure. */

/** Beats of a take: frames on which the chosen gate rises, in order. */
export interface Beats {
  readonly edges: Int32Array;
  readonly rate: number;
}

/** A step back while it plays goes to the beat before this one, unless one is that quick. */
const QUICK = 0.15;

/** The second of the next beat after `at`, or of the last before it; undefined where there is none. */
export function beatFrom({ edges, rate }: Beats, at: number, direction: 1 | -1, playing: boolean): number | undefined {
  const frame = at * rate;
  // A beat on which one stands is not the next one; positions are not exact to the frame.
  const near = 1;
  if (direction > 0) {
    const next = edges.find((edge) => edge > frame + near);
    return next === undefined ? undefined : next / rate;
  }
  const before = frame - (playing ? QUICK * rate : near);
  const last = edges.findLast((edge) => edge < before);
  return last === undefined ? undefined : last / rate;
}

/**
 * Where one stands: at the playhead while it is visible, else at the left edge. With it goes the way the window takes when the step
 * ends at `to`: what is visible stays at its place on the screen.
 */
export function standing(window: { readonly start: number; readonly span: number }, position: number): number {
  return position >= window.start && position <= window.start + window.span ? position : window.start;
}
