/** The pictures that the tray can draw of the probes: one entry each; Pane draws them, Tray lists them. */
import type { Drawing } from './drawing.ts';
import { drawSpectrum, SPECTRUM_FRAMES } from './drawSpectrum.ts';
import { drawWave } from './drawWave.ts';
import type { ScopeShow } from './scopeStore.ts';

export interface View {
  readonly id: ScopeShow;
  readonly title: string;
  /** Goes before the names of the probes, for who cannot see the picture. */
  readonly says: string;
  /** Time runs across: the wheel zooms, dragging moves. */
  readonly timed: boolean;
  /** Each lane has a row of its own, as high as the others; else all lie over one another. */
  readonly rows: boolean;
  /** Frames that it needs of each lane even where fewer are visible; live windows are made that long. */
  readonly leastFrames: number;
  readonly draw: (drawing: Drawing) => void;
}

export const views: readonly View[] = [
  {
    id: 'wave',
    title: 'Wave',
    says: 'Waves',
    timed: true,
    rows: true,
    leastFrames: 0,
    draw: drawWave,
  },
  { id: 'spectrum', title: 'Spectrum', says: 'Spectra', timed: false, rows: false, leastFrames: SPECTRUM_FRAMES, draw: drawSpectrum },
];

export function viewOf(show: ScopeShow): View {
  return views.find(({ id }) => id === show) ?? (views[0] as View);
}
