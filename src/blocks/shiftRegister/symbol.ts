import type { BlockSymbol } from '../../patch/symbol.ts';

/** The block diagram of text books: cells in a row, the last fed back to the first. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.2 0.34 L 0.8 0.34 L 0.8 0.62 L 0.2 0.62 Z M 0.35 0.34 L 0.35 0.62 M 0.5 0.34 L 0.5 0.62 M 0.65 0.34 L 0.65 0.62' },
    { path: 'M 0.08 0.48 L 0.2 0.48' },
    { path: 'M 0.8 0.48 L 0.9 0.48 L 0.9 0.82 L 0.14 0.82 L 0.14 0.48', weight: 0.7 },
    { path: 'M 0.156 0.48 A 0.016 0.024 0 0 1 0.124 0.48 A 0.016 0.024 0 0 1 0.156 0.48 Z', fill: true },
  ],
};
