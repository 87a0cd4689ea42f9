/** The drawing of an answer to "What moves this?" as numbers: bands over the columns of the take. */
import type { MovesAnswer } from '../../insight/moves/answer.ts';
import { AUDIO_RATE_HERTZ, type Movement } from '../../insight/moves/movement.ts';

export interface Band {
  /** Key of the mover; 'rest' and 'together' for what belongs to none. */
  readonly key: string;
  readonly low: readonly number[];
  readonly high: readonly number[];
}

export interface Layers {
  /** Stacked, each band lies on the one before and the last ends at the whole; in rows each stands for itself. */
  readonly kind: 'stack' | 'rows';
  readonly bands: readonly Band[];
  readonly whole: Band;
  /** Ends of the scale: all bands of a stack, or the greatest row. */
  readonly least: number;
  readonly most: number;
}

/** What does not add up is drawn from this part of the whole on. */
const VISIBLE = 0.02;
/** From here on stacked shares would tell less than each by itself. */
const TOO_MUCH = 0.25;

export function layersOf(answer: MovesAnswer): Layers {
  const { movers, together, total } = answer;
  const apart = total.rms === 0 ? 0 : together.rms / total.rms;
  const fast = [total, ...movers.map(({ movement }) => movement)].some(({ hertz }) => hertz >= AUDIO_RATE_HERTZ);
  return fast || apart > TOO_MUCH ? rowsOf(answer) : stackOf(answer, apart);
}

/**
 * Each band is as thick as its share stands above its own least value, so that none is negative; the line below all of them is how low
 * the whole would be with every share at its least.
 */
function stackOf({ movers, together, total, rest }: MovesAnswer, apart: number): Layers {
  const parts = movers.map(({ key, movement }) => ({ key, mean: movement.columns.mean }));
  if (apart > VISIBLE) parts.push({ key: 'together', mean: together.columns.mean });
  const floors = parts.map(({ mean }) => Math.min(...mean));
  let low = rest.columns.mean.map((volts) => volts + floors.reduce((sum, floor) => sum + floor, 0));
  const bands = parts.map(({ key, mean }, i): Band => {
    const below = low;
    low = below.map((volts, c) => volts + (mean[c] as number) - (floors[i] as number));
    return { key, low: below, high: low };
  });
  const whole = bandOf('whole', total);
  const all = [...bands.flatMap((band) => [...band.low, ...band.high]), ...whole.low, ...whole.high];
  return { kind: 'stack', bands, whole, least: Math.min(...all), most: Math.max(...all) };
}

function rowsOf({ movers, total }: MovesAnswer): Layers {
  const bands = movers.map(({ key, movement }) => bandOf(key, movement));
  const ends = [total, ...movers.map(({ movement }) => movement)];
  return {
    kind: 'rows',
    bands,
    whole: bandOf('whole', total),
    least: Math.min(...ends.map(({ least }) => least)),
    most: Math.max(...ends.map(({ most }) => most)),
  };
}

function bandOf(key: string, { columns: { least, most } }: Movement): Band {
  return { key, low: least, high: most };
}
