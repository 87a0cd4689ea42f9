/** Fills that differ by hatching and letter as well as by colour. */

const colours = ['--line-control', '--line-gate', '--line-pitch', '--ink-soft', '--pick'];
/** Marks in a square of 8: slanting lines, dots, lines the other way, upright lines, a grid, level lines. */
const hatchings = [
  'M-1 1 L1 -1 M0 8 L8 0 M7 9 L9 7',
  'M2 2 h0.01 M6 6 h0.01',
  'M-1 7 L1 9 M0 0 L8 8 M7 -1 L9 1',
  'M2 0 V8 M6 0 V8',
  'M0 4 H8 M4 0 V8',
  'M0 2 H8 M0 6 H8',
];

export const colourOf = (i: number): string => `var(${colours[i % colours.length]})`;

/** "A", "B"..., after "Z" "A2". */
export function letterOf(i: number): string {
  const letter = String.fromCharCode(65 + (i % 26));
  return i < 26 ? letter : `${letter}${Math.floor(i / 26) + 1}`;
}

export function Pattern({ id, i }: { readonly id: string; readonly i: number }) {
  const dots = i % hatchings.length === 1;
  return (
    <pattern id={id} width={8} height={8} patternUnits="userSpaceOnUse">
      <rect width={8} height={8} style={{ fill: colourOf(i) }} fillOpacity={0.16} />
      <path
        d={hatchings[i % hatchings.length]}
        style={{ stroke: colourOf(i) }}
        strokeWidth={dots ? 2.4 : 1.2}
        strokeLinecap="round"
        fill="none"
      />
    </pattern>
  );
}
