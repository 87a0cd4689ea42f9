import type { BlockSymbol } from '../../patch/symbol.ts';

/** A stored wave as its samples, read from left to right. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 56,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.1 0.42 L 0.9 0.42', weight: 0.6 },
    {
      path: 'M 0.16 0.42 L 0.16 0.2 M 0.26 0.42 L 0.26 0.1 M 0.36 0.42 L 0.36 0.3 M 0.46 0.42 L 0.46 0.66 M 0.56 0.42 L 0.56 0.72 M 0.66 0.42 L 0.66 0.54 M 0.76 0.42 L 0.76 0.3 M 0.86 0.42 L 0.86 0.36',
    },
    { path: 'M 0.3 0.88 L 0.66 0.88' },
    { path: 'M 0.62 0.82 L 0.72 0.88 L 0.62 0.94 Z', fill: true },
  ],
};
