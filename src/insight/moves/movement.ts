/** What is told of a voltage over the take: figures, how fast it moves, and columns to draw. */

/** From here on a movement is heard as a tone rather than followed (the lower limit of hearing; common practice, no source). */
export const AUDIO_RATE_HERTZ = 20;
export const COLUMNS = 240;

export interface Movement {
  readonly least: number;
  readonly most: number;
  readonly mean: number;
  /** Root mean square about the mean. */
  readonly rms: number;
  /** How often a second it goes up and down through its mean. */
  readonly hertz: number;
  /** Over equal parts of the take. */
  readonly columns: { readonly least: readonly number[]; readonly most: readonly number[]; readonly mean: readonly number[] };
}

export function movementOf(volts: Float64Array, rate: number): Movement {
  const frames = volts.length;
  const { least, most, mean, rms } = figuresOf(volts);
  return { least, most, mean, rms, hertz: hertzOf(volts, mean, rms, rate), columns: columnsOf(volts, Math.min(COLUMNS, frames)) };
}

export function figuresOf(volts: Float64Array): { least: number; most: number; mean: number; rms: number } {
  const first = volts[0] ?? 0;
  let [least, most, sum, squares] = [first, first, 0, 0];
  for (let i = 0; i < volts.length; i++) {
    const x = volts[i] as number;
    if (x < least) least = x;
    if (x > most) most = x;
    // about the first value, so that a small movement on a high voltage keeps its digits
    sum += x - first;
    squares += (x - first) ** 2;
  }
  const count = Math.max(1, volts.length);
  const mean = sum / count;
  return { least, most, mean: first + mean, rms: Math.sqrt(Math.max(0, squares / count - mean * mean)) };
}

/** Rounds through the mean and back, counted once it has gone a quarter of its RMS beyond, so that a trembling does not count. */
function hertzOf(volts: Float64Array, mean: number, rms: number, rate: number): number {
  const beyond = rms / 4;
  if (beyond === 0) return 0;
  let side = 0;
  let crossings = 0;
  for (let i = 0; i < volts.length; i++) {
    const x = (volts[i] as number) - mean;
    const now = x > beyond ? 1 : x < -beyond ? -1 : side;
    if (side !== 0 && now !== side) crossings++;
    side = now;
  }
  return (crossings / 2 / volts.length) * rate;
}

function columnsOf(volts: Float64Array, count: number): Movement['columns'] {
  const [least, most, mean]: [number[], number[], number[]] = [[], [], []];
  for (let c = 0; c < count; c++) {
    const part = volts.subarray(Math.floor((c * volts.length) / count), Math.floor(((c + 1) * volts.length) / count));
    const figures = figuresOf(part);
    least.push(figures.least);
    most.push(figures.most);
    mean.push(figures.mean);
  }
  return { least, most, mean };
}
