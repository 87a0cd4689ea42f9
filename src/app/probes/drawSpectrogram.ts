/**
 * Spectrograms of the lanes: time across, frequency up on a logarithmic axis with the notes beside it, level as a colour that goes from
 * paper to ink (its lightness alone tells the level, for every eye and in print). Never more columns than pixels.
 */
import { spectrogramFrames } from '../../measure/spectrogram.ts';
import { EVERY_FRAME_BYTES, rangeToKeep } from '../listen/takeWindows.ts';
import type { Drawing } from './drawing.ts';
import { AXIS, absence, drawHalo, drawSentence, drawTimeAxis, line } from './drawParts.ts';
import { type Lane, laneName, type Window } from './lanes.ts';
import { octavesBetween, pitchText } from './noteText.ts';
import type { Paint } from './paint.ts';
import { parseColour, rampOf } from './ramp.ts';
import { place } from './scales.ts';
import { type ColumnSource, type GridShape, SpectrogramColumns } from './spectrogramColumns.ts';

export const LEAST_HZ = 30;
export const MOST_HZ = 18000;
/** Levels from paper to ink. A wave of +-5 V is 14 dBV. */
export const TOP_DB = 14;
export const BOTTOM_DB = -66;
/** Time that one drawing may spend on new columns. */
const BUDGET_MS = 12;
/** Seconds beside the screen for half a window. */
export const AROUND = 0.18;
/** Of a take that is too long to be there in full, so much is read at a time, or less where there are many probes. */
const PIECE_SECONDS = 8;

interface Picture {
  readonly columns: SpectrogramColumns;
  /** What the image was painted from. */
  painted: string;
  image: HTMLCanvasElement | undefined;
}

const pictures = new WeakMap<object, Picture>();
let ramp: { readonly of: string; readonly colours: Uint8ClampedArray } | undefined;

export function sourceOf({ recorder }: Lane, window: Window, live: boolean): ColumnSource {
  const { history } = recorder;
  if (live && history) {
    // Columns whose window is not full yet are left for later: they would show what has not sounded as silence.
    return {
      identity: history,
      stretch: history,
      first: Math.max(0, history.end - history.capacity),
      end: history.end,
      length: Number.POSITIVE_INFINITY,
      read: (at, out) => history.copy(at, out),
    };
  }
  const { samples, startFrame } = window;
  const end = startFrame + samples.length;
  const { peaks } = window;
  return {
    identity: peaks ?? samples,
    stretch: samples,
    first: startFrame,
    end,
    length: peaks ? peaks.least.length * peaks.frames : end,
    read: (at, out) => {
      out.fill(0);
      const first = at - startFrame;
      const from = Math.min(samples.length, Math.max(0, first));
      out.set(samples.subarray(from, Math.max(from, first + out.length)), from - first);
    },
  };
}

/**
 * Of a take that is too long to be there in full: the piece that is read at present. Columns are small and are kept, so the picture
 * is put together from one piece after the other.
 */
function pieceOf({ axis, probes, live }: Drawing, lane: Lane, window: Window): ColumnSource | undefined {
  const { recorded } = lane.recorder;
  if (live || !recorded || window.samples.length > 0) return undefined;
  const look = { start: Math.max(0, axis.start - AROUND), span: axis.span + 2 * AROUND, everyFrame: true };
  if (rangeToKeep(look, recorded.rate, recorded.frames, probes.length)) return undefined;
  const { from, samples } = recorded.window ?? { from: 0, samples: new Float32Array(0) };
  return { ...sourceOf(lane, { ...window, samples, startFrame: from }, live), length: recorded.frames };
}

/** Goes on to the next piece of which there are no columns yet. */
function readOn(drawing: Drawing, columns: SpectrogramColumns, piece: ColumnSource, shape: GridShape, first: number, last: number): void {
  const missing = columns.missing(first, last, piece.length, shape.perColumn);
  if (missing === undefined) return;
  const half = shape.frames / 2;
  const span = Math.min(PIECE_SECONDS, EVERY_FRAME_BYTES / 4 / Math.max(1, drawing.probes.length) / shape.rate / 2.5);
  const start = Math.max(0, (missing * shape.perColumn - half) / shape.rate);
  const asked = drawing.scope.piece;
  if (!asked || Math.abs(asked.start - start) > 1e-6) drawing.readPiece({ start, span });
}

function shapeOf({ axis, width, gutter }: Drawing, rate: number, rows: number): GridShape {
  const count = Math.max(1, Math.floor(width - gutter));
  return {
    rate,
    frames: spectrogramFrames(axis.span, rate),
    rows,
    lowest: LEAST_HZ,
    highest: Math.min(MOST_HZ, rate / 2),
    perColumn: (axis.span * rate) / count,
  };
}

export function drawSpectrogram(drawing: Drawing): void {
  const { context, width, height, paint, lanes, gutter, pointer } = drawing;
  context.font = paint.font;
  context.textBaseline = 'middle';
  const laneHeight = (height - AXIS) / Math.max(1, lanes.length);
  drawTimeAxis(drawing);
  const deadline = performance.now() + BUDGET_MS;
  const more = (): boolean => performance.now() < deadline;
  for (const [i, lane] of lanes.entries()) {
    const top = i * laneHeight;
    if (i > 0) line(context, paint.rule, 0, top, width, top);
    const window = drawing.windows[i];
    const reason = window && pieceOf(drawing, lane, window) ? undefined : absence(window);
    if (!window || reason !== undefined) drawSentence(drawing, reason ?? '', top + laneHeight / 2);
    else drawLane(drawing, lane, window, top + 2, Math.max(8, Math.floor(laneHeight - 4)), more);
  }
  if (pointer !== undefined && pointer > gutter) drawCursor(drawing, laneHeight);
}

/** Frame at the left edge of the screen, counted from the start. */
const leftFrame = (window: Window): number => window.startFrame + window.from;

function drawLane(drawing: Drawing, lane: Lane, window: Window, top: number, rows: number, more: () => boolean): void {
  const { context, width, gutter, axis, live, paint } = drawing;
  const shape = shapeOf(drawing, window.rate, rows);
  const first = Math.ceil(leftFrame(window) / shape.perColumn);
  const last = Math.floor((leftFrame(window) + axis.span * window.rate) / shape.perColumn);
  const picture = pictures.get(lane.recorder) ?? { columns: new SpectrogramColumns(), painted: '', image: undefined };
  pictures.set(lane.recorder, picture);
  const piece = pieceOf(drawing, lane, window);
  const source = piece ?? sourceOf(lane, window, live);
  const ready = live ? Math.floor((source.end - shape.frames / 2) / shape.perColumn) : last;
  if (!picture.columns.fill(source, shape, first, Math.min(last, ready), more)) drawing.again();
  else if (piece) readOn(drawing, picture.columns, piece, shape, first, last);
  const wanted = `${first} ${last} ${rows} ${picture.columns.made} ${paint.paper} ${paint.ink}`;
  if (picture.painted !== wanted) {
    picture.image = paintImage(picture, first, last, rows, paint);
    picture.painted = wanted;
  }
  if (picture.image) {
    const offset = first - leftFrame(window) / shape.perColumn;
    context.save();
    context.beginPath();
    context.rect(gutter, top, width - gutter, rows);
    context.clip();
    context.imageSmoothingEnabled = false;
    context.drawImage(picture.image, gutter + offset - 0.5, top, last - first + 1, rows);
    context.restore();
  }
  drawScale(drawing, top, rows, shape.highest);
}

/** One pixel per column and row; undefined where the page cannot paint. */
function paintImage({ columns, image }: Picture, first: number, last: number, rows: number, paint: Paint): HTMLCanvasElement | undefined {
  const canvas = image ?? document.createElement('canvas');
  canvas.width = Math.max(1, last - first + 1);
  canvas.height = rows;
  const context = canvas.getContext('2d');
  if (!context) return undefined;
  const of = `${paint.paper} ${paint.line.control} ${paint.ink}`;
  if (ramp?.of !== of) ramp = { of, colours: rampOf(parseColour(paint.paper), parseColour(paint.line.control), parseColour(paint.ink)) };
  const pixels = context.createImageData(canvas.width, rows);
  for (let k = first; k <= last; k++) {
    const levels = columns.nearest(k);
    if (!levels) continue;
    for (let r = 0; r < rows; r++) {
      const share = ((levels[r] as number) - BOTTOM_DB) / (TOP_DB - BOTTOM_DB);
      const colour = 3 * Math.round(255 * Math.min(1, Math.max(0, share)));
      const at = 4 * ((rows - 1 - r) * canvas.width + (k - first));
      for (let c = 0; c < 3; c++) pixels.data[at + c] = ramp.colours[colour + c] as number;
      pixels.data[at + 3] = 255;
    }
  }
  context.putImageData(pixels, 0, 0);
  return canvas;
}

/** Hertz at the left of the gutter, notes at the picture. */
function drawScale(drawing: Drawing, top: number, rows: number, highest: number): void {
  const { context, paint, gutter } = drawing;
  const y = (hz: number): number => top + rows * (1 - place(hz, LEAST_HZ, highest));
  const perOctave = y(100) - y(200);
  context.textAlign = 'right';
  context.fillStyle = paint.soft;
  if (perOctave >= 4) for (const hz of [100, 1000, 10000]) context.fillText(hz >= 1000 ? `${hz / 1000} k` : `${hz}`, gutter - 30, y(hz));
  const every = Math.max(1, Math.ceil(13 / perOctave));
  for (const [i, { name, hz }] of octavesBetween(LEAST_HZ, highest).entries()) {
    line(context, paint.before, gutter - 4, y(hz), gutter, y(hz));
    context.fillStyle = paint.soft;
    if (i % every === 0) context.fillText(name, gutter - 6, y(hz));
  }
}

/** What lies under the pointer: second, pitch, level. */
export function pointOf(drawing: Drawing): { readonly lane: number; readonly hz: number; readonly db: number | undefined } | undefined {
  const { pointer, pointerY, gutter, height, lanes } = drawing;
  if (pointer === undefined || pointerY === undefined || pointer <= gutter || pointerY >= height - AXIS) return undefined;
  const laneHeight = (height - AXIS) / Math.max(1, lanes.length);
  const i = Math.min(lanes.length - 1, Math.floor(pointerY / laneHeight));
  const window = drawing.windows[i];
  const lane = lanes[i];
  if (!window || !lane) return undefined;
  const rows = Math.max(8, Math.floor(laneHeight - 4));
  const shape = shapeOf(drawing, window.rate, rows);
  const up = Math.min(1, Math.max(0, 1 - (pointerY - i * laneHeight - 2) / rows));
  const hz = LEAST_HZ * (shape.highest / LEAST_HZ) ** up;
  const column = pictures.get(lane.recorder)?.columns.column(Math.round(leftFrame(window) / shape.perColumn + pointer - gutter));
  return { lane: i, hz, db: column?.[Math.min(rows - 1, Math.floor(up * rows))] };
}

/** The read-out at the cursor. */
export function readSpectrogram(drawing: Drawing): string {
  const point = pointOf(drawing);
  if (!point) return '';
  const lane = drawing.lanes[point.lane];
  return `${lane ? laneName(lane) : ''}: ${pitchText(point.hz)}${point.db === undefined ? '' : `, ${point.db.toFixed(0)} dBV`}`;
}

export function noteSpectrogram({ axis, windows }: Drawing): string {
  const rate = windows.find((window) => window !== undefined)?.rate ?? 48000;
  return `Hann window of ${Math.round((1000 * spectrogramFrames(axis.span, rate)) / rate)} ms; paper to ink: ${BOTTOM_DB} to ${TOP_DB} dBV`;
}

function drawCursor(drawing: Drawing, laneHeight: number): void {
  const { context, paint, pointer, pointerY, gutter, width, height } = drawing;
  if (pointer === undefined) return;
  line(context, paint.pick, pointer, 0, pointer, height - AXIS);
  const point = pointOf(drawing);
  if (!point || pointerY === undefined) return;
  line(context, paint.pick, gutter, pointerY, width, pointerY);
  const right = pointer > (width + gutter) / 2;
  context.textAlign = right ? 'right' : 'left';
  const text = `${pitchText(point.hz)}${point.db === undefined ? '' : ` ${point.db.toFixed(0)} dBV`}`;
  drawHalo(drawing, text, pointer + (right ? -8 : 8), Math.max(point.lane * laneHeight + 10, pointerY - 10), paint.ink);
}
