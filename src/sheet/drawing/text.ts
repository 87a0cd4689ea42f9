/**
 * Widths of short texts without a page: the drawing is laid out the same way on the canvas, on the command line and in
 * print. The table holds advance widths of a common sans-serif face in thousandths of the size (values from memory, on the
 * generous side); the layout only needs them to reserve room.
 */

const narrow = new Set([..."iljI.,:;'|!()[]f t"]);
const wide = new Set([...'mwMW@%']);

/** Width in sketch units of `text` set in the sans-serif face at `size`. */
export function sansWidth(text: string, size: number, bold = false): number {
  let sum = 0;
  for (const letter of text) {
    if (narrow.has(letter)) sum += 360;
    else if (wide.has(letter)) sum += 890;
    else if (letter >= 'A' && letter <= 'Z') sum += 690;
    else sum += 590;
  }
  return (sum / 1000) * size * (bold ? 1.08 : 1);
}

/** Width in sketch units of `text` set in the monospaced face at `size`. */
export function monoWidth(text: string, size: number): number {
  return [...text].length * size * 0.61;
}

/** `text`, shortened with an ellipsis until `width(text)` is at most `room`. */
export function fitText(text: string, room: number, width: (text: string) => number): string {
  if (width(text) <= room) return text;
  const letters = [...text];
  while (letters.length > 1 && width(`${letters.join('').trimEnd()}…`) > room) letters.pop();
  return `${letters.join('').trimEnd()}…`;
}
