import type { BlockSymbol } from '../../patch/symbol.ts';

/** The delay of block diagrams: a box with z to the minus n, drawn as strokes. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.09 L 1 0.91 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.91 L 0 0.09 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.28 0.46 L 0.47 0.46 L 0.28 0.78 L 0.48 0.78' },
    {
      path: 'M 0.52 0.34 L 0.6 0.34 M 0.64 0.44 L 0.64 0.24 M 0.64 0.31 Q 0.67 0.24 0.71 0.24 Q 0.75 0.24 0.75 0.31 L 0.75 0.44',
      weight: 0.8,
    },
  ],
};
