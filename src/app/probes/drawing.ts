/** The common argument of all views. */
import type { Beats } from './beats.ts';
import type { Lane, TimeAxis, Window } from './lanes.ts';
import type { Paint } from './paint.ts';
import type { ScopeState, Shown } from './scopeStore.ts';

export interface Drawing {
  readonly context: CanvasRenderingContext2D;
  /** CSS pixels. */
  readonly width: number;
  readonly height: number;
  /** Room for a scale at the left edge, in CSS pixels. */
  readonly gutter: number;
  readonly paint: Paint;
  readonly lanes: readonly Lane[];
  /** One per lane. */
  readonly windows: readonly (Window | undefined)[];
  readonly axis: TimeAxis;
  /** CSS pixels from the left and from the top, while the pointer is over the drawing. */
  readonly pointer: number | undefined;
  readonly pointerY: number | undefined;
  readonly scope: ScopeState;
  /** Beats of the take; undefined where there are none, and while it sounds live. */
  readonly beats: Beats | undefined;
  /** Sound is playing: windows hold its newest stretch, else a stretch of the take. */
  readonly live: boolean;
  /** The person asked for little motion. */
  readonly calm: boolean;
  /** All probes with their windows, also those of which this picture shows nothing. */
  readonly probes: readonly { readonly lane: Lane; readonly window: Window | undefined }[];
  /** Asks for another drawing soon: part of the picture is still being worked out. */
  readonly again: () => void;
  /** Asks for another piece of a take that is too long to be there in full. */
  readonly readPiece: (piece: Shown) => void;
}
