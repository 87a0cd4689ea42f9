/**
 * Spectra of the probes over one another: decibels re 1 V against frequency, with the notes. The window is Blackman and Harris's with
 * four terms: its side lobes stay below -92 dB, so that a weak line beside a strong one is a line and not the window's. Of a take the
 * whole stretch on the screen counts (the mean power of overlapping windows), of live sound the newest window.
 */
import { averageAmplitudes, peakBetween } from '../../measure/averageSpectrum.ts';
import { type Analyser, createAnalyser, toDecibels } from '../../measure/spectrum.ts';
import type { Drawing } from './drawing.ts';
import { AXIS, absence, drawHalo, drawSentence, line, visibleFrames } from './drawParts.ts';
import { laneName, type Window } from './lanes.ts';
import { octavesBetween, pitchText } from './noteText.ts';
import { place } from './scales.ts';

/** Frames of the window: 341 ms, 3 Hz from bin to bin at 48 kHz. */
const SIZE = 16384;
const LEAST_SIZE = 1024;
const LEAST_HZ = 20;
const MOST_HZ = 20000;
const TOP_DB = 20;
const BOTTOM_DB = -100;
/** Room for the notes' names above the curves. */
const NOTES = 16;
/** The cursor takes the highest line within so many pixels. */
const GRASP = 8;
/** Width from which the levels stand at the cursor as well, in CSS pixels. */
const ROOM_FOR_LEVELS = 420;
const dashes: readonly (readonly number[])[] = [[], [6, 3], [2, 2], [8, 3, 2, 3], [1, 3]];

const analysers = new Map<number, Analyser>();

interface Spectrum {
  readonly from: number;
  readonly to: number;
  /** dB per bin. */
  readonly levels: Float64Array;
  /** Hz from bin to bin. */
  readonly step: number;
}

/** Kept until the samples or the stretch of them differ. */
const kept = new WeakMap<Float32Array, Spectrum>();

function spectrumOf(window: Window, axis: Drawing['axis']): Spectrum | undefined {
  const { samples, rate } = window;
  const { from, to } = visibleFrames(window, axis);
  if (samples.length < LEAST_SIZE) return undefined;
  const known = kept.get(samples);
  if (known?.from === from && known.to === to) return known;
  const size = Math.min(SIZE, 2 ** Math.floor(Math.log2(samples.length)));
  const analyser = analysers.get(size) ?? createAnalyser(size, 'blackmanHarris');
  analysers.set(size, analyser);
  const whole = samples.every(Number.isFinite) ? samples : samples.map((v) => (Number.isFinite(v) ? v : 0));
  const levels = toDecibels(averageAmplitudes(analyser, whole, from, to), BOTTOM_DB - 20);
  const spectrum = { from, to, levels, step: rate / size };
  kept.set(samples, spectrum);
  return spectrum;
}

/** Hertz under a pixel of the picture. */
function hertzAt(x: number, { width, gutter }: Pick<Drawing, 'width' | 'gutter'>): number {
  return LEAST_HZ * (MOST_HZ / LEAST_HZ) ** ((x - gutter) / (width - gutter));
}

const placeOf = (hz: number, { width, gutter }: Pick<Drawing, 'width' | 'gutter'>): number =>
  gutter + place(hz, LEAST_HZ, MOST_HZ) * (width - gutter);

/** What stands at the cursor: the highest line near it, else the place itself. */
function grasp(drawing: Drawing, pointer: number): { readonly hz: number; readonly line: boolean } {
  let best: { hz: number; level: number } | undefined;
  for (const window of drawing.windows) {
    const spectrum = window && spectrumOf(window, drawing.axis);
    if (!spectrum) continue;
    const { levels, step } = spectrum;
    const peak = peakBetween(levels, hertzAt(pointer - GRASP, drawing) / step, hertzAt(pointer + GRASP, drawing) / step);
    if (peak && peak.level > BOTTOM_DB && peak.level > (best?.level ?? BOTTOM_DB)) best = { hz: peak.bin * step, level: peak.level };
  }
  return best ? { hz: best.hz, line: true } : { hz: hertzAt(pointer, drawing), line: false };
}

/** Level of a lane at a frequency: of the line that stands there, else of the bins around it. */
function levelAt({ levels, step }: Spectrum, hz: number): number {
  const bin = hz / step;
  return peakBetween(levels, bin - 1.5, bin + 1.5)?.level ?? levelBetween(levels, bin - 0.5, bin + 0.5);
}

/** The read-out at the cursor: Hz, note, cents; each lane's level. */
export function readSpectrum(drawing: Drawing): string {
  if (drawing.pointer === undefined || drawing.pointer <= drawing.gutter) return '';
  const { hz } = grasp(drawing, drawing.pointer);
  const levels = drawing.lanes.flatMap((lane, i) => {
    const window = drawing.windows[i];
    const spectrum = window && spectrumOf(window, drawing.axis);
    return spectrum ? [`${laneName(lane)} ${levelText(levelAt(spectrum, hz))}`] : [];
  });
  return [pitchText(hz), ...levels].join(', ');
}

const levelText = (db: number): string => (db <= BOTTOM_DB ? `below ${BOTTOM_DB} dBV` : `${db.toFixed(1)} dBV`);

/** The strongest line of a sound. */
export function saySpectrum(drawing: Drawing, i: number): string {
  const window = drawing.windows[i];
  const spectrum = window && spectrumOf(window, drawing.axis);
  if (!spectrum || drawing.lanes[i]?.kind !== 'audio') return '';
  const peak = peakBetween(spectrum.levels, LEAST_HZ / spectrum.step, MOST_HZ / spectrum.step);
  return peak && peak.level > BOTTOM_DB
    ? `most at ${pitchText(peak.bin * spectrum.step)}, ${levelText(peak.level)}`
    : 'nothing from 20 Hz up';
}

/** How it was worked out. */
export function noteSpectrum({ windows, axis, live }: Drawing): string {
  const window = windows.find((one) => one !== undefined);
  const spectrum = window && spectrumOf(window, axis);
  if (!window || !spectrum) return '';
  const ms = Math.round(1000 / spectrum.step);
  const long = (spectrum.to - spectrum.from) / window.rate > 1.5 / spectrum.step;
  return `Blackman-Harris window of ${ms} ms${live ? ', the newest' : long ? ', mean power of the stretch shown' : ', middle of the stretch shown'}`;
}

export function drawSpectrum(drawing: Drawing): void {
  const { context, height, width, paint, lanes, gutter, pointer } = drawing;
  const bottom = height - AXIS;
  const x = (hz: number): number => placeOf(hz, drawing);
  const y = (db: number): number => NOTES + 4 + ((TOP_DB - db) / (TOP_DB - BOTTOM_DB)) * (bottom - NOTES - 4);
  context.font = paint.font;
  context.textBaseline = 'middle';
  drawGrid(drawing, x, y, bottom);
  let reason: string | undefined;
  context.save();
  context.beginPath();
  context.rect(gutter, NOTES, width - gutter, bottom - NOTES);
  context.clip();
  for (const [i, lane] of lanes.entries()) {
    const window = drawing.windows[i];
    const spectrum = window && spectrumOf(window, drawing.axis);
    if (!spectrum) {
      reason ??= absence(window) ?? 'too short a stretch for a spectrum';
      continue;
    }
    const dash = dashes[i % dashes.length] as readonly number[];
    const before = window?.before && spectrumOf({ ...window, samples: window.before }, drawing.axis);
    if (before) drawCurve(drawing, before, x, y, paint.before, dash);
    drawCurve(drawing, spectrum, x, y, paint.line[lane.kind], dash);
  }
  context.restore();
  if (reason !== undefined && lanes.every((_, i) => !drawing.windows[i] || !spectrumOf(drawing.windows[i] as Window, drawing.axis)))
    drawSentence(drawing, reason, height / 2);
  if (pointer !== undefined && pointer > gutter) {
    const found = grasp(drawing, pointer);
    const at = x(found.hz);
    line(context, paint.pick, at, NOTES, at, bottom);
    const right = at > (width + gutter) / 2;
    context.textAlign = right ? 'right' : 'left';
    drawHalo(drawing, pitchText(found.hz), at + (right ? -8 : 8), NOTES + 12, paint.ink);
    // On a narrow screen only the text below says the levels.
    let row = 0;
    for (const [i, lane] of width - gutter < ROOM_FOR_LEVELS ? [] : lanes.entries()) {
      const window = drawing.windows[i];
      const spectrum = window && spectrumOf(window, drawing.axis);
      if (spectrum)
        drawHalo(
          drawing,
          `${levelText(levelAt(spectrum, found.hz))} ${laneName(lane)}`,
          at + (right ? -8 : 8),
          NOTES + 28 + 15 * row++,
          paint.ink,
        );
    }
  }
}

function drawGrid(drawing: Drawing, x: (hz: number) => number, y: (db: number) => number, bottom: number): void {
  const { context, width, height, paint, gutter } = drawing;
  context.fillStyle = paint.soft;
  context.textAlign = 'center';
  let free = gutter - 8;
  for (const hz of [20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000]) {
    line(context, paint.rule, x(hz), NOTES, x(hz), bottom);
    context.fillStyle = paint.soft;
    if (x(hz) > width - 16 || x(hz) < free) continue;
    free = x(hz) + 32;
    context.fillText(hz >= 1000 ? `${hz / 1000} k` : `${hz}`, x(hz), height - AXIS / 2 + 1);
  }
  // The notes: every C by its name, with a short stroke.
  for (const { name, hz } of octavesBetween(LEAST_HZ, MOST_HZ)) {
    line(context, paint.before, x(hz), NOTES - 4, x(hz), NOTES + 2);
    context.fillStyle = paint.soft;
    if (x(hz) < width - 10) context.fillText(name, x(hz), 6);
  }
  context.textAlign = 'right';
  context.fillText('Hz', gutter - 14, height - AXIS / 2 + 1);
  context.fillText('note', gutter - 6, 6);
  const least = Math.ceil(15 / Math.max(1, Math.abs(y(0) - y(20)) / 20) / 20) * 20;
  for (let db = TOP_DB; db >= BOTTOM_DB; db -= least) {
    line(context, paint.rule, gutter, y(db), width, y(db));
    context.fillStyle = paint.soft;
    if (y(db) < bottom - 6) context.fillText(`${db} dBV`, gutter - 6, y(db) + (db === TOP_DB ? 5 : 0));
  }
}

/** One point per screen column: the highest bin that falls into it. */
function drawCurve(
  drawing: Drawing,
  { levels, step }: Spectrum,
  x: (hz: number) => number,
  y: (db: number) => number,
  style: string,
  dash: readonly number[],
): void {
  const { context, width, gutter } = drawing;
  context.strokeStyle = style;
  context.lineWidth = 1.3;
  context.setLineDash([...dash]);
  context.beginPath();
  for (let c = gutter; c < width; c++) {
    const from = hertzAt(c, drawing);
    const level = levelBetween(levels, from / step, hertzAt(c + 1, drawing) / step);
    if (c === gutter) context.moveTo(x(from), y(level));
    else context.lineTo(x(from), y(level));
  }
  context.stroke();
  context.setLineDash([]);
}

/** The highest bin within from..to; between bins the straight line, so that low octaves do not look like stairs. */
function levelBetween(levels: Float64Array, from: number, to: number): number {
  const first = Math.ceil(from);
  const last = Math.min(levels.length - 1, Math.floor(to));
  if (first > last) {
    const below = Math.min(Math.floor(from), levels.length - 2);
    const a = levels[below] as number;
    return a + ((levels[below + 1] as number) - a) * (from - below);
  }
  let level = levels[first] as number;
  for (let b = first + 1; b <= last; b++) level = Math.max(level, levels[b] as number);
  return level;
}

/** Frames that live sound must bring. */
export const SPECTRUM_FRAMES = SIZE;
