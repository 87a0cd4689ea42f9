/**
 * A block's symbol as drawing data in a unit box (0,0 top left to 1,1 bottom right, y down),
 * so that canvas, list, sheet and print show the same drawing.
 */

/** One stroke or fill. `weight` is relative to the normal line (1). */
export type Mark =
  | { readonly path: string; readonly fill?: boolean; readonly weight?: number; readonly dashed?: boolean }
  | { readonly text: string; readonly x: number; readonly y: number; readonly size: number };

export interface BlockSymbol {
  /** Size on the sketch, in sketch units (a multiple of 8). */
  readonly width: number;
  readonly height: number;
  /** The body's closed outline, filled with paper and stroked. SVG path commands M L C Q A Z in unit-box coordinates. */
  readonly outline: string;
  readonly marks: readonly Mark[];
}
