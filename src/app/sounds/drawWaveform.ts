/** The outline of a sound file: least and greatest sample of both channels per column. */
import type { DecodedSound } from '../../notebook/decodeWav.ts';

/** Least and greatest samples in `columns` columns, alternating. */
export function outlineOf({ channels }: DecodedSound, columns: number): Float32Array {
  const frames = channels[0]?.length ?? 0;
  const outline = new Float32Array(2 * columns);
  for (let column = 0; column < columns; column++) {
    const from = Math.floor((column * frames) / columns);
    const to = Math.max(from + 1, Math.floor(((column + 1) * frames) / columns));
    let [least, greatest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (const channel of channels) {
      for (let n = from; n < to && n < frames; n++) {
        const sample = channel[n] as number;
        if (sample < least) least = sample;
        if (sample > greatest) greatest = sample;
      }
    }
    outline[2 * column] = least;
    outline[2 * column + 1] = greatest;
  }
  return outline;
}

/** Draws it over the whole canvas, full scale from edge to edge, and a line where it starts (share of the length). */
export function drawWaveform(canvas: HTMLCanvasElement, sound: DecodedSound, start: number): void {
  const context = canvas.getContext('2d');
  if (!context) return;
  const scale = globalThis.devicePixelRatio || 1;
  const [width, height] = [Math.round(canvas.clientWidth * scale), Math.round(canvas.clientHeight * scale)];
  if (width === 0 || height === 0) return;
  canvas.width = width;
  canvas.height = height;
  context.fillStyle = getComputedStyle(canvas).color;
  const outline = outlineOf(sound, width);
  const middle = height / 2;
  const y = (sample: number): number => middle - Math.max(-1, Math.min(1, sample)) * (middle - scale);
  for (let x = 0; x < width; x++) {
    const [top, bottom] = [y(outline[2 * x + 1] as number), y(outline[2 * x] as number)];
    context.fillRect(x, top - scale / 2, 1, Math.max(scale, bottom - top));
  }
  if (start > 0) context.fillRect(Math.round(start * (width - 1)), 0, Math.max(1, scale), height);
}
