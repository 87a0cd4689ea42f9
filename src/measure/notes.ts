/**
 * Notes of a pitch voltage (1 V per octave, 0 V = C4): where it stands still and where it glides. The sizes below are our own choice:
 * small enough for quarter tones and for the shortest notes that are played, larger than drift, hum and a trembling hand.
 */
import type { GateRun } from './gates.ts';

const CENT = 1 / 1200;
/** A jump of this much from one frame to the next begins another note. */
const STEP = 20 * CENT;
/** A note may waver this much about its mean (vibrato). */
const WAVER = 50 * CENT;
/** It stands still where it is this near to its median for half of its time. */
const STILL = 15 * CENT;
/** Shortest glide; what moves faster is a step. */
const GLIDE_SECONDS = 0.005;

export interface NoteEvent {
  readonly kind: 'held' | 'glide';
  /** Frames from .. to - 1. */
  readonly from: number;
  readonly to: number;
  /** A held note's median; where a glide begins. */
  readonly volts: number;
  /** Where a glide ends; a held note's median. */
  readonly toVolts: number;
}

export interface NoteSearch {
  /** Shortest note, in seconds; default 0.03. */
  readonly least?: number;
  readonly from?: number;
  readonly to?: number;
}

/** Notes and glides in order. Stretches that are neither (noise, audio, missing samples) are left out. */
export function noteEvents(samples: ArrayLike<number>, rate: number, search: NoteSearch = {}): NoteEvent[] {
  const { least = 0.03, from = 0, to = samples.length } = search;
  const events: NoteEvent[] = [];
  let start = from;
  for (let n = from + 1; n <= to; n++) {
    const jump = n === to || !(Math.abs((samples[n] as number) - (samples[n - 1] as number)) <= STEP);
    if (!jump) continue;
    if (Number.isFinite(samples[start])) events.push(...eventsOfPiece(samples, rate, start, n, least));
    start = n;
  }
  return joined(events, rate * GLIDE_SECONDS);
}

/** A stretch without jumps: held runs, and what lies between them as glides. */
function eventsOfPiece(samples: ArrayLike<number>, rate: number, from: number, to: number, least: number): NoteEvent[] {
  const grid = Math.max(1, Math.round(rate / 1000));
  const events: NoteEvent[] = [];
  let glide: { from: number; direction: number } | undefined;
  const at = (n: number): number => samples[n] as number;
  const endGlide = (end: number, toVolts = at(end - 1)): void => {
    if (glide && end - glide.from >= rate * GLIDE_SECONDS && Math.abs(toVolts - at(glide.from)) >= STEP)
      events.push({ kind: 'glide', from: glide.from, to: end, volts: at(glide.from), toVolts });
    glide = undefined;
  };
  let start = from;
  while (start < to) {
    const values: number[] = [];
    let sum = 0;
    let n = start;
    for (; n < to; n += grid) {
      const value = at(n);
      if (values.length > 0 && Math.abs(value - sum / values.length) > WAVER) break;
      values.push(value);
      sum += value;
    }
    let end = Math.min(n, to);
    const still = stillPart(values);
    if (end - start >= least * rate && (still || !drifts(values))) {
      const volts = medianOf(values);
      // What leads to the note and away from it is glide.
      const begin = start + grid * (still?.first ?? 0);
      if (still && still.last < values.length - 1) end = Math.min(end, start + grid * (still.last + 1));
      if (begin > start) glide ??= { from: start, direction: Math.sign(volts - at(start)) };
      endGlide(begin, volts);
      events.push({ kind: 'held', from: begin, to: end, volts, toVolts: volts });
    } else {
      const direction = Math.sign(at(end - 1) - at(start));
      if (glide && glide.direction !== direction) endGlide(start);
      glide ??= { from: start, direction };
    }
    start = end;
  }
  endGlide(to);
  return events;
}

/** From the first to the last value near the median, where half of all are; undefined where they are not. */
function stillPart(values: readonly number[]): { first: number; last: number } | undefined {
  const middle = medianOf(values);
  const near = (value: number): boolean => Math.abs(value - middle) <= STILL;
  if (values.filter(near).length < values.length / 2) return undefined;
  return { first: values.findIndex(near), last: values.findLastIndex(near) };
}

/** Moves on in one direction instead of wavering. */
function drifts(values: readonly number[]): boolean {
  let way = 0;
  for (let i = 1; i < values.length; i++) way += Math.abs((values[i] as number) - (values[i - 1] as number));
  return Math.abs((values.at(-1) as number) - (values[0] as number)) > way / 2;
}

function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] as number;
}

/** What is lost between two events for a moment (a step that takes some frames) belongs to the second. */
function joined(events: readonly NoteEvent[], most: number): NoteEvent[] {
  return events.map((event, i) => {
    const before = events[i - 1];
    const gap = before ? event.from - before.to : 0;
    return before && gap > 0 && gap <= most ? { ...event, from: before.to } : event;
  });
}

/** The notes that gates let through: one from each rise, another where the pitch changes while the gate is high. */
export function notesOfGates(events: readonly NoteEvent[], gates: readonly GateRun[], rate: number): NoteEvent[] {
  const notes: NoteEvent[] = [];
  let first = 0;
  for (const gate of gates) {
    while (first < events.length && (events[first] as NoteEvent).to <= gate.from) first++;
    let start = gate.from;
    for (let i = first; i < events.length && (events[i] as NoteEvent).from < gate.to; i++) {
      const event = events[i] as NoteEvent;
      const from = Math.max(event.from, gate.from);
      const to = Math.min(event.to, gate.to);
      // A pitch that comes a moment after its gate: the old one was not meant.
      const last = to === gate.to;
      if (to - from < rate * GLIDE_SECONDS && !last) continue;
      notes.push({ ...event, from: from - start <= rate * GLIDE_SECONDS ? Math.max(start, gate.from) : from, to });
      start = to;
    }
  }
  return notes;
}
