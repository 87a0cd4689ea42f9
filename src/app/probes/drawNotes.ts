/** Which notes come: pitch voltages as bars on a scale of notes, with letters and volts. */
import { type GateRun, gateRuns } from '../../measure/gates.ts';
import { type NoteEvent, noteEvents, notesOfGates } from '../../measure/notes.ts';
import { noteName, voltsNote } from '../../patch/values/notes.ts';
import type { Drawing } from './drawing.ts';
import { AXIS, absence, drawHalo, drawSentence, drawTimeAxis, line, visibleFrames } from './drawParts.ts';
import { type Lane, laneName, type TimeAxis, type Window } from './lanes.ts';
import { voltsNoteText, voltsText } from './noteText.ts';

/** A gate shorter than this is a trigger: its note lasts until the next one. */
const TRIGGER_SECONDS = 0.02;
/** Volts between notes. */
const SEMITONE = 1 / 12;

interface Melody {
  readonly key: string;
  readonly notes: readonly NoteEvent[];
  /** Title of the gate that struck them. */
  readonly by: string | undefined;
}

const kept = new WeakMap<Float32Array, Melody>();

/** The probed gate of the same block that lasts longest: it strikes the notes of this pitch. */
function gateOf(drawing: Drawing, lane: Lane, axis: TimeAxis): { readonly title: string; readonly runs: readonly GateRun[] } | undefined {
  const block = lane.name.slice(0, lane.name.indexOf('.'));
  let best: { title: string; runs: readonly GateRun[]; length: number } | undefined;
  for (const { lane: other, window } of drawing.probes) {
    if (other.kind !== 'gate' || !other.name.startsWith(`${block}.`) || !window || window.samples.length === 0) continue;
    const { from, to } = visibleFrames(window, axis);
    const runs = gateRuns(window.samples, from, to);
    const length = runs.reduce((sum, run) => sum + run.to - run.from, 0);
    if (runs.length > 0 && length > (best?.length ?? 0)) best = { title: other.port || other.title, runs, length };
  }
  return best;
}

/** Triggers hold until the next. */
function lasting(runs: readonly GateRun[], rate: number, end: number): readonly GateRun[] {
  if (runs.some((run) => run.to - run.from > rate * TRIGGER_SECONDS)) return runs;
  return runs.map((run, i) => ({ from: run.from, to: runs[i + 1]?.from ?? end }));
}

/** Notes on the screen, with frames counted in the window's samples. */
export function melodyOf(drawing: Drawing, i: number): Melody | undefined {
  const lane = drawing.lanes[i];
  const window = drawing.windows[i];
  if (!lane || !window || window.samples.length === 0) return undefined;
  const { from, to } = visibleFrames(window, drawing.axis);
  const gate = gateOf(drawing, lane, drawing.axis);
  const key = `${from} ${to} ${gate?.title ?? ''} ${gate?.runs.length ?? 0} ${gate?.runs[0]?.from ?? 0}`;
  const known = kept.get(window.samples);
  if (known?.key === key) return known;
  const all = noteEvents(window.samples, window.rate, { from, to });
  const notes = gate ? notesOfGates(all, lasting(gate.runs, window.rate, to), window.rate) : all;
  const melody = { key, notes, by: gate?.title };
  kept.set(window.samples, melody);
  return melody;
}

export function drawNotes(drawing: Drawing): void {
  const { context, width, height, paint, lanes, gutter, pointer } = drawing;
  context.font = paint.font;
  context.textBaseline = 'middle';
  drawTimeAxis(drawing);
  const laneHeight = (height - AXIS) / Math.max(1, lanes.length);
  for (const [i, lane] of lanes.entries()) {
    const top = i * laneHeight;
    if (i > 0) line(context, paint.rule, 0, top, width, top);
    const window = drawing.windows[i];
    const melody = melodyOf(drawing, i);
    if (!window || !melody) drawSentence(drawing, absence(window) ?? '', top + laneHeight / 2);
    else if (melody.notes.length === 0) drawSentence(drawing, 'no note stands still here', top + laneHeight / 2);
    else drawMelody(drawing, lane, window, melody.notes, top + 12, laneHeight - 22);
  }
  if (pointer !== undefined && pointer > gutter) line(context, paint.pick, pointer, 0, pointer, height - AXIS);
}

/** Whole semitones around the notes, an octave at least. */
function rangeOf(notes: readonly NoteEvent[]): readonly [number, number] {
  const all = notes.flatMap(({ volts, toVolts }) => [volts, toVolts]);
  let low = Math.floor(Math.min(...all) / SEMITONE) - 1;
  let high = Math.ceil(Math.max(...all) / SEMITONE) + 1;
  while (high - low < 12) {
    high++;
    if (high - low < 12) low--;
  }
  return [low * SEMITONE, high * SEMITONE];
}

function drawMelody(drawing: Drawing, lane: Lane, window: Window, notes: readonly NoteEvent[], top: number, height: number): void {
  const { context, width, gutter, paint, axis } = drawing;
  const [low, high] = rangeOf(notes);
  const y = (volts: number): number => top + height * (1 - (volts - low) / (high - low));
  const perFrame = (width - gutter) / (axis.span * window.rate);
  const x = (frame: number): number => gutter + (frame - window.from) * perFrame;
  drawStaff(drawing, low, high, y);
  const thick = Math.max(3, Math.min(8, (height * SEMITONE) / (high - low)));
  context.save();
  context.beginPath();
  context.rect(gutter, top - 12, width - gutter, height + 22);
  context.clip();
  context.strokeStyle = paint.line[lane.kind];
  for (const note of notes) {
    if (note.kind === 'held') {
      context.fillStyle = paint.line[lane.kind];
      context.fillRect(x(note.from), y(note.volts) - thick / 2, Math.max(2, x(note.to) - x(note.from) - 1), thick);
      continue;
    }
    context.lineWidth = 1.5;
    context.setLineDash([3, 2]);
    context.beginPath();
    context.moveTo(x(note.from), y(note.volts));
    context.lineTo(x(note.to), y(note.toVolts));
    context.stroke();
    context.setLineDash([]);
  }
  // Names last, and only where they do not run into each other.
  context.textAlign = 'left';
  const taken: { readonly end: number; readonly y: number }[] = [];
  for (const note of notes) {
    if (note.kind !== 'held') continue;
    const left = Math.max(gutter, x(note.from));
    const name = voltsNoteText(note.volts);
    const both = `${name} ${voltsText(note.volts)}`;
    const room = x(note.to) - left;
    const text = context.measureText(both).width < room ? both : name;
    const above = y(note.volts) - thick / 2 - 7;
    const at = above < top - 8 ? y(note.volts) + thick / 2 + 7 : above;
    if (taken.slice(-8).some((other) => other.end > left && Math.abs(other.y - at) < 11)) continue;
    drawHalo(drawing, text, left, at, paint.ink);
    taken.push({ end: left + context.measureText(text).width + 4, y: at });
  }
  context.restore();
}

/** Lines at each C, and at each note where there is room; letters and volts beside. */
function drawStaff({ context, width, gutter, paint }: Drawing, low: number, high: number, y: (volts: number) => number): void {
  const per = y(0) - y(SEMITONE);
  const [first, last] = [Math.round(low / SEMITONE), Math.round(high / SEMITONE)];
  let free = Number.POSITIVE_INFINITY;
  context.textAlign = 'right';
  for (let n = first; n <= last; n++) {
    const volts = n * SEMITONE;
    const name = noteName(Math.round(voltsNote(volts)));
    const octave = n % 12 === 0;
    if (octave || (per >= 6 && !name.includes('#'))) line(context, octave ? paint.before : paint.rule, gutter, y(volts), width, y(volts));
    if (name.includes('#') || (!octave && per < 6 && n !== first && n !== last) || free - y(volts) < 12) continue;
    context.fillStyle = octave ? paint.ink : paint.soft;
    context.fillText(octave ? `${name} ${Math.round(volts)} V` : name, gutter - 6, y(volts));
    free = y(volts);
  }
}

/** The notes in words: "C4 E4 G4, by gate". */
export function sayNotes(drawing: Drawing, i: number): string {
  const melody = melodyOf(drawing, i);
  if (!melody) return '';
  const held = melody.notes.filter(({ kind }) => kind === 'held');
  if (held.length === 0) return 'no note';
  const names = held.slice(0, 16).map(({ volts }) => voltsNoteText(volts));
  return `${names.join(' ')}${held.length > 16 ? ` and ${held.length - 16} more` : ''}${melody.by === undefined ? '' : `, by ${melody.by}`}`;
}

/** The read-out at the cursor: second, note, volts. */
export function readNotes(drawing: Drawing): string {
  const { pointer, gutter, width, axis, lanes } = drawing;
  if (pointer === undefined || pointer <= gutter) return '';
  const seconds = ((pointer - gutter) / (width - gutter)) * axis.span;
  const parts = lanes.flatMap((lane, i) => {
    const window = drawing.windows[i];
    const frame = window ? window.from + seconds * window.rate : 0;
    const note = melodyOf(drawing, i)?.notes.find(({ from, to }) => from <= frame && frame < to);
    if (!note) return [];
    const name =
      note.kind === 'held' ? voltsNoteText(note.volts) : `glides from ${voltsNoteText(note.volts)} to ${voltsNoteText(note.toVolts)}`;
    return [`${laneName(lane)} ${name}${note.kind === 'held' ? ` ${voltsText(note.volts, 3)}` : ''}`];
  });
  return [`${(axis.start + seconds).toFixed(3)} s`, ...(parts.length > 0 ? parts : ['no note'])].join(', ');
}
