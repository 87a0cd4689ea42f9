/** How the kind of a signal is drawn. The line tells it; colour only repeats it, so that it survives black-and-white print. */
import type { SignalKind } from '../../patch/blockSpec.ts';

export interface LineStyle {
  /** Width of the line, or of both strokes of a double line together, in sketch units. */
  readonly width: number;
  /** Stroke and gap lengths in sketch units; left out: solid. */
  readonly dash?: readonly [number, number];
  /** A double line: a second stroke of this width in the colour of the paper runs along the middle. */
  readonly core?: number;
  /** The CSS variable that holds its colour on screen. */
  readonly colour: `--line-${SignalKind}`;
  /** For the legend. */
  readonly say: string;
}

export const lineStyles: Readonly<Record<SignalKind, LineStyle>> = {
  audio: { width: 2.4, colour: '--line-audio', say: 'sound' },
  control: { width: 1.2, colour: '--line-control', say: 'control voltage' },
  gate: { width: 1.3, dash: [4.5, 3], colour: '--line-gate', say: 'gate, trigger or clock' },
  pitch: { width: 3.4, core: 1.4, colour: '--line-pitch', say: 'pitch' },
};

/** Where two cables cross, the one of the later kind hops over (an arc shows best in a thin solid line, not at all in a dashed one); among equals the horizontal one. */
export const hopOrder: readonly SignalKind[] = ['gate', 'audio', 'pitch', 'control'];
