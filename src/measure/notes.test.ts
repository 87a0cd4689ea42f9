// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { noteName, noteNumber, noteVolts, voltsNote } from '../patch/values/notes.ts';
import { noteEvents, notesOfGates } from './notes.ts';

const rate = 48000;
const seconds = (s: number): number => Math.round(s * rate);

/** Volts of named notes, each `length` seconds long (ISO 16 names, 1 V per octave, C4 = 0 V). */
function melody(names: readonly string[], length: number): Float32Array {
  const volts = names.map((name) => noteVolts(noteNumber(name) ?? Number.NaN));
  return Float32Array.from({ length: seconds(names.length * length) }, (_, n) => volts[Math.floor(n / seconds(length))] as number);
}

const spell = (samples: Float32Array): string[] =>
  noteEvents(samples, rate).map(({ kind, volts, toVolts }) => {
    const name = noteName(Math.round(voltsNote(volts)));
    return kind === 'held' ? name : `${name}>${noteName(Math.round(voltsNote(toVolts)))}`;
  });

/** "Frere Jacques", first line (traditional): C D E C. */
const round = ['C4', 'D4', 'E4', 'C4'];

describe('notes of a pitch voltage', () => {
  it('a melody in steps is read note by note, on its frames', () => {
    expect(spell(melody(round, 0.25))).toEqual(round);
    expect(noteEvents(melody(round, 0.25), rate).map(({ from, to }) => [from, to])).toEqual([
      [0, 12000],
      [12000, 24000],
      [24000, 36000],
      [36000, 48000],
    ]);
  });

  it('whole octaves, sharps, quarter tones and very short notes', () => {
    expect(spell(melody(['C-1', 'A4', 'F#2', 'Bb5', 'C9'], 0.05))).toEqual(['C-1', 'A4', 'F#2', 'A#5', 'C9']);
    // Halfway between C4 and C#4: 50 cents = 1/24 V.
    const quarter = Float32Array.from({ length: seconds(0.4) }, (_, n) => (n < seconds(0.2) ? 0 : 1 / 24));
    expect(noteEvents(quarter, rate).map(({ volts }) => volts)).toEqual([0, Math.fround(1 / 24)]);
    expect(noteEvents(melody(['C4', 'C5'], 0.02), rate)).toEqual([]);
  });

  it('a glide between two notes, straight or by a resistor and capacitor', () => {
    const straight = Float32Array.from({ length: seconds(0.7) }, (_, n) => Math.min(1, Math.max(0, (n / rate - 0.2) / 0.2)));
    expect(spell(straight)).toEqual(['C4', 'C4>C5', 'C5']);
    const [, glide] = noteEvents(straight, rate);
    expect(Math.abs((glide?.from ?? 0) / rate - 0.2)).toBeLessThan(0.02);
    expect(Math.abs((glide?.to ?? 0) / rate - 0.4)).toBeLessThan(0.02);
    const curved = Float32Array.from({ length: seconds(1) }, (_, n) => (n < 9600 ? 0 : 7 / 12 - (7 / 12) * Math.exp(-(n - 9600) / 2400)));
    const events = noteEvents(curved, rate);
    expect(events.map(({ kind }) => kind)).toEqual(['held', 'glide', 'held']);
    expect(events[2]?.volts).toBeCloseTo(7 / 12, 3);
  });

  it('a slow rise over an octave is one glide, not a scale', () => {
    expect(spell(Float32Array.from({ length: seconds(4) }, (_, n) => n / seconds(4)))).toEqual(['C4>C5']);
  });

  it('vibrato of 30 cents stays one note at its mean', () => {
    const wavering = Float32Array.from({ length: seconds(2) }, (_, n) => 0.75 + (30 / 1200) * Math.sin((2 * Math.PI * 5.5 * n) / rate));
    const events = noteEvents(wavering, rate);
    expect(events.map(({ kind }) => kind)).toEqual(['held']);
    expect(1200 * Math.abs((events[0]?.volts ?? 0) - 0.75)).toBeLessThan(3);
  });

  it('a step spread over some frames, with ringing as a decimator leaves it, is one step', () => {
    const ringing = Float32Array.from({ length: seconds(0.4) }, (_, n) => {
      const t = n - 9600;
      return t < -20 ? 0 : t > 40 ? 1 : 0.5 + 0.5 * Math.tanh(t / 4) + 0.08 * Math.exp(-Math.abs(t) / 10) * Math.sin(t);
    });
    const events = noteEvents(ringing, rate);
    expect(events.map(({ kind, volts }) => [kind, Math.round(volts * 12)])).toEqual([
      ['held', 0],
      ['held', 12],
    ]);
    expect(events[1]?.from).toBe(events[0]?.to);
  });

  it('audio, noise and missing samples are no notes', () => {
    let state = 5;
    const noise = Float32Array.from({ length: 48000 }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      return state / 2 ** 31;
    });
    expect(noteEvents(noise, rate)).toEqual([]);
    expect(noteEvents(new Float32Array(48000).fill(Number.NaN), rate)).toEqual([]);
    const late = melody(['A4'], 1).fill(Number.NaN, 0, 24000);
    expect(noteEvents(late, rate).map(({ from, to }) => [from, to])).toEqual([[24000, 48000]]);
  });
});

describe('notes by gate', () => {
  it('a held pitch struck three times is three notes', () => {
    const gates = [0.1, 0.4, 0.7].map((s) => ({ from: seconds(s), to: seconds(s + 0.1) }));
    const notes = notesOfGates(noteEvents(melody(['E4'], 1), rate), gates, rate);
    expect(notes.map(({ from, to }) => [from, to])).toEqual(gates.map(({ from, to }) => [from, to]));
  });

  it('a pitch that changes under an open gate is another note; one that changes while it is shut is not heard', () => {
    const events = noteEvents(melody(['C4', 'G4', 'A4', 'G4'], 0.25), rate);
    const notes = notesOfGates(
      events,
      [
        { from: seconds(0.1), to: seconds(0.4) },
        { from: seconds(0.8), to: seconds(0.9) },
      ],
      rate,
    );
    expect(notes.map(({ volts }) => noteName(Math.round(voltsNote(volts))))).toEqual(['C4', 'G4', 'G4']);
  });

  it('a pitch that comes some frames after its gate takes the whole gate', () => {
    const events = noteEvents(melody(['C4', 'G4'], 0.25), rate);
    const notes = notesOfGates(events, [{ from: seconds(0.25) - 40, to: seconds(0.35) }], rate);
    expect(notes.map(({ from, volts }) => [from, Math.round(12 * volts)])).toEqual([[seconds(0.25) - 40, 7]]);
  });
});
