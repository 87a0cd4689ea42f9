/**
 * Columns of spectrograms, worked out in small portions between drawings and kept: moving along a take needs only the new ones. Their
 * places are counted from the start of the take or of the sound, so that they stay the same while the picture moves.
 */
import { type ColumnMaker, type ColumnShape, createColumnMaker } from '../../measure/spectrogram.ts';

export interface GridShape extends ColumnShape {
  /** Frames from column to column, between frames. */
  readonly perColumn: number;
}

/** Where a lane's frames come from. */
export interface ColumnSource {
  /** Stands for the signal: columns of another one are forgotten. */
  readonly identity: object;
  /** Stands for the frames that can be read at present: columns at their edges are worked out again when others come. */
  readonly stretch: object;
  /** Frames first .. end - 1 can be read. */
  readonly first: number;
  readonly end: number;
  /** Of the whole signal: nothing lies before frame 0 or after the end. */
  readonly length: number;
  /** Fills `out` with frames from `at` on. */
  read(at: number, out: Float32Array): void;
}

interface Kept {
  readonly levels: Float32Array;
  /** The stretch it was cut short by; undefined where all of its frames were there. */
  readonly cutBy: object | undefined;
}

const shapeName = ({ rate, frames, rows, lowest, highest, perColumn }: GridShape): string =>
  [rate, frames, rows, lowest, highest, perColumn.toFixed(4)].join(' ');

/** Every so many columns come first, so that the whole picture is soon there. */
const COARSE = 8;
/** Most that are kept beside those on the screen. */
const MOST_KEPT = 6000;

export class SpectrogramColumns {
  #kept = new Map<number, Kept>();
  #shape = '';
  #identity: object | undefined;
  #make: ColumnMaker | undefined;
  #frames = new Float32Array(0);
  /** Grows with each column that is made. */
  made = 0;

  /** Column number k is centred on frame k x perColumn. */
  column(k: number): Float32Array | undefined {
    return this.#kept.get(k)?.levels;
  }

  /** The same, or one of the few that are worked out first, until it is there. */
  nearest(k: number): Float32Array | undefined {
    return this.column(k) ?? this.column(COARSE * Math.round(k / COARSE));
  }

  /** Works out columns first .. last that are not there yet, coarsely first, the last first, as long as `more` says so; true if all are there. */
  fill(source: ColumnSource, shape: GridShape, first: number, last: number, more: () => boolean): boolean {
    const name = shapeName(shape);
    if (name !== this.#shape || source.identity !== this.#identity) {
      this.#kept.clear();
      this.#shape = name;
      this.#identity = source.identity;
      this.#make = createColumnMaker(shape);
      this.#frames = new Float32Array(shape.frames);
      this.made++;
    }
    if (this.#kept.size > MOST_KEPT) for (const k of this.#kept.keys()) if (k < first || k > last) this.#kept.delete(k);
    for (const step of [COARSE, 1]) {
      for (let k = step * Math.floor(last / step); k >= first; k -= step) {
        if (!this.#isWanted(k, source, shape)) continue;
        if (!more()) return false;
        this.#add(k, source, shape);
      }
    }
    return true;
  }

  /** The first of columns first .. last of which there is nothing yet, though the signal has it. */
  missing(first: number, last: number, length: number, perColumn: number): number | undefined {
    for (let k = Math.max(0, first); k <= last && Math.round(k * perColumn) < length; k++) if (!this.#kept.has(k)) return k;
    return undefined;
  }

  #isWanted(k: number, source: ColumnSource, { perColumn }: GridShape): boolean {
    const centre = Math.round(k * perColumn);
    const known = this.#kept.get(k);
    return centre >= source.first && centre < source.end && (!known || (known.cutBy !== undefined && known.cutBy !== source.stretch));
  }

  #add(k: number, source: ColumnSource, { perColumn, frames }: GridShape): void {
    const at = Math.round(k * perColumn) - frames / 2;
    const whole = Math.max(0, at) >= source.first && Math.min(source.length, at + frames) <= source.end;
    source.read(at, this.#frames);
    for (let i = 0; i < frames; i++) if (!Number.isFinite(this.#frames[i])) this.#frames[i] = 0;
    this.#kept.set(k, { levels: (this.#make as ColumnMaker)(this.#frames), cutBy: whole ? undefined : source.stretch });
    this.made++;
  }
}
