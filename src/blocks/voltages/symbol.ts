import type { BlockSymbol } from '../../patch/symbol.ts';

/** Cells in a row, long plates and short: the battery of circuit diagrams. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 48,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.07 0 Z',
  marks: [
    { path: 'M 0.14 0.5 L 0.34 0.5 M 0.34 0.26 L 0.34 0.74 M 0.55 0.26 L 0.55 0.74 M 0.66 0.5 L 0.86 0.5' },
    { path: 'M 0.45 0.38 L 0.45 0.62 M 0.66 0.38 L 0.66 0.62', weight: 2 },
  ],
};
