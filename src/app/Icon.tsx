/** Small line drawings for buttons, 16 x 16, drawn with the text's colour. */
const drawings = {
  undo: 'M3 7 H10 A3 3 0 0 1 10 13 H7 M6 4 L3 7 L6 10',
  redo: 'M13 7 H6 A3 3 0 0 0 6 13 H9 M10 4 L13 7 L10 10',
  fit: 'M2 6 V2 H6 M10 2 H14 V6 M14 10 V14 H10 M6 14 H2 V10',
  nearer: 'M8 3 V13 M3 8 H13',
  farther: 'M3 8 H13',
  previous: 'M4 3 V13 M12 4 L6.5 8 L12 12 Z',
  next: 'M12 3 V13 M4 4 L9.5 8 L4 12 Z',
  tidy: 'M2 3 H6 V7 H2 Z M10 3 H14 V7 H10 Z M10 10 H14 V14 H10 Z M6 5 H10 M8 5 V12 H10',
  trace: 'M1 8 H4 L6 3 L10 13 L12 8 H15',
  sun: 'M8 5 A3 3 0 1 1 8 11 A3 3 0 1 1 8 5 M8 1 V2.5 M8 13.5 V15 M1 8 H2.5 M13.5 8 H15 M3 3 L4 4 M12 12 L13 13 M13 3 L12 4 M4 12 L3 13',
  moon: 'M13 10 A6 6 0 1 1 6 3 A5 5 0 0 0 13 10 Z',
  half: 'M8 2 A6 6 0 1 1 8 14 A6 6 0 1 1 8 2 M8 2 V14 M8 5 H12 M8 8 H14 M8 11 H12',
  close: 'M4 4 L12 12 M12 4 L4 12',
  list: 'M3 4 H3.01 M6 4 H13 M3 8 H3.01 M6 8 H13 M3 12 H3.01 M6 12 H13',
  settings:
    'M2 4 H9 M12 4 H14 M9 4 A1.5 1.5 0 1 0 12 4 A1.5 1.5 0 1 0 9 4 M2 11 H4 M7 11 H14 M4 11 A1.5 1.5 0 1 0 7 11 A1.5 1.5 0 1 0 4 11',
  scope: 'M2 3 H14 V13 H2 Z M4 8 Q5.5 4 7 8 T10 8 T12.5 8',
  play: 'M4 3 L13 8 L4 13 Z',
  pause: 'M5 3 V13 M11 3 V13',
  ear: 'M4.5 6.5 A3.8 3.8 0 1 1 12 7 C12 9.5 9.5 9.8 9.5 12 A2.3 2.3 0 0 1 5 12.5 M7 6.8 A1.6 1.6 0 0 1 10 6.6 C10 8 8.2 8.2 8.2 9.8',
  more: 'M4 8 H4.01 M8 8 H8.01 M12 8 H12.01',
} as const;

export type IconName = keyof typeof drawings;

/** Always beside words, or inside a button that has a name: the drawing itself is silent. */
export function Icon({ name }: { readonly name: IconName }) {
  return (
    <svg className="icon" viewBox="0 0 16 16" aria-hidden="true" focusable="false">
      <path d={drawings[name]} />
    </svg>
  );
}
