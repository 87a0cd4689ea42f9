/** The pictures that the tray can draw of the probes: one entry each; Pane draws them, Tray lists them. */
import type { SignalKind } from '../../patch/blockSpec.ts';
import type { Look } from '../listen/takeWindows.ts';
import { drawGates, readGates, sayGates } from './drawGates.ts';
import type { Drawing } from './drawing.ts';
import { drawNotes, readNotes, sayNotes } from './drawNotes.ts';
import { AROUND, drawSpectrogram, noteSpectrogram, readSpectrogram } from './drawSpectrogram.ts';
import { drawSpectrum, noteSpectrum, readSpectrum, SPECTRUM_FRAMES, saySpectrum } from './drawSpectrum.ts';
import { drawWave } from './drawWave.ts';
import { drawXY, sayXY } from './drawXY.ts';
import type { Lane } from './lanes.ts';
import type { ScopeShow, ScopeState } from './scopeStore.ts';
import { persists } from './sweeps.ts';

export interface View {
  readonly id: ScopeShow;
  readonly title: string;
  /** Goes before the names of the probes, for who cannot see the picture. */
  readonly says: string;
  /** Time runs across: the wheel zooms, dragging moves. */
  readonly timed: boolean;
  /** Each lane has a row of its own, as high as the others; else all lie over one another. */
  readonly rows: boolean;
  /** The curves are told apart by dashes as well as by colour. */
  readonly dashed?: boolean;
  /** Live sound: just its newest frames, so many; left out: the visible span. */
  readonly liveFrames?: number;
  /** Seconds of live sound at least: whole areas of a shorter stretch would flash. */
  readonly liveLeast?: number;
  /** Seconds of a take that it needs before and after what is on the screen. */
  readonly around?: (scope: ScopeState) => readonly [before: number, after: number];
  /** Peaks tell it nothing: it needs all frames of long stretches as well. */
  readonly everyFrame?: boolean;
  /** Which of the probes it shows; left out: all. */
  readonly shows?: (lanes: readonly Lane[]) => readonly Lane[];
  /** Said where it shows none of the probes. */
  readonly empty?: string;
  /** All outputs of this kind that a cable leaves are shown, as the take has them, with or without a probe. */
  readonly everyGate?: boolean;
  /** Figures in a table take the picture's place. */
  readonly table?: boolean;
  readonly draw: (drawing: Drawing) => void;
  /** What it says of a lane, beside the lane's name. */
  readonly say?: (drawing: Drawing, lane: number) => string;
  /** What stands at the pointer; '' for nothing. */
  readonly read?: (drawing: Drawing) => string;
  /** How it was worked out, where that is to be known. */
  readonly note?: (drawing: Drawing) => string;
}

const ofKind =
  (wanted: SignalKind) =>
  (lanes: readonly Lane[]): readonly Lane[] =>
    lanes.filter(({ kind }) => kind === wanted);

export const views: readonly View[] = [
  {
    id: 'wave',
    title: 'Wave',
    says: 'Waves',
    timed: true,
    rows: true,
    // Earlier sweeps, and a whole sweep from an edge at the right end of the screen.
    around: (scope) => (persists(scope) ? [scope.persistence, scope.span] : [0, 0]),
    draw: drawWave,
  },
  { id: 'xy', title: 'X-Y', says: 'One against another', everyFrame: true, timed: false, rows: false, draw: drawXY, say: sayXY },
  {
    id: 'spectrum',
    title: 'Spectrum',
    says: 'Spectra',
    everyFrame: true,
    timed: false,
    rows: false,
    dashed: true,
    liveFrames: SPECTRUM_FRAMES,
    around: () => [0.18, 0.18],
    draw: drawSpectrum,
    say: saySpectrum,
    read: readSpectrum,
    note: noteSpectrum,
  },
  {
    id: 'spectrogram',
    title: 'Spectrogram',
    says: 'Spectrograms',
    everyFrame: true,
    liveLeast: 1,
    timed: true,
    rows: true,
    // Of sound, and of anything else only where there is no sound.
    shows: (lanes) => (lanes.some(({ kind }) => kind === 'audio') ? ofKind('audio')(lanes) : lanes),
    around: () => [AROUND, AROUND],
    draw: drawSpectrogram,
    read: readSpectrogram,
    note: noteSpectrogram,
  },
  {
    id: 'gates',
    title: 'Gates',
    says: 'Rhythm of the gates',
    liveLeast: 1,
    timed: true,
    rows: true,
    shows: ofKind('gate'),
    empty: 'The patch uses no gate output yet.',
    everyGate: true,
    draw: drawGates,
    say: sayGates,
    read: readGates,
  },
  {
    id: 'notes',
    title: 'Notes',
    says: 'Notes',
    everyFrame: true,
    liveLeast: 1,
    timed: true,
    rows: true,
    shows: ofKind('pitch'),
    empty: 'No probe is on a pitch output. Clip one to a pitch output (and one to the gate beside it) to see which notes come.',
    draw: drawNotes,
    say: sayNotes,
    read: readNotes,
  },
  // The table beside the canvas says it all; see Figures.tsx.
  {
    id: 'figures',
    title: 'Figures',
    says: 'Figures',
    everyFrame: true,
    timed: false,
    rows: false,
    table: true,
    around: () => [0.1, 0.1],
    draw: () => undefined,
  },
];

export function viewOf(show: ScopeShow): View {
  return views.find(({ id }) => id === show) ?? (views[0] as View);
}

/** The stretch of a take that a view needs for what is on the screen. */
export function stretchOf(view: View, scope: ScopeState): Look {
  if (scope.piece) return { ...scope.piece, everyFrame: true };
  const [before, after] = view.around?.(scope) ?? [0, 0];
  const start = Math.max(0, scope.start - before);
  return { start, span: scope.start - start + scope.span + after, everyFrame: view.everyFrame ?? false };
}
