import type { BlockSymbol } from '../../patch/symbol.ts';

/** The box of a logic element: an "and" and an "or" sign, as the standards for graphical symbols write them. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 64,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.07 L 1 0.93 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.93 L 0 0.07 Q 0 0 0.07 0 Z',
  marks: [
    { path: 'M 0.16 0.5 L 0.84 0.5', weight: 0.5 },
    { text: '&', x: 0.5, y: 0.27, size: 0.24 },
    { text: '≥1', x: 0.5, y: 0.74, size: 0.22 },
  ],
};
