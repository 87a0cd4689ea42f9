import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box: many pulses above, few below. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    {
      path: 'M 0.16 0.42 L 0.16 0.22 L 0.25 0.22 L 0.25 0.42 L 0.34 0.42 L 0.34 0.22 L 0.43 0.22 L 0.43 0.42 L 0.52 0.42 L 0.52 0.22 L 0.61 0.22 L 0.61 0.42 L 0.7 0.42 L 0.7 0.22 L 0.79 0.22 L 0.79 0.42 L 0.86 0.42',
    },
    { path: 'M 0.16 0.78 L 0.16 0.58 L 0.34 0.58 L 0.34 0.78 L 0.52 0.78 L 0.52 0.58 L 0.7 0.58 L 0.7 0.78 L 0.86 0.78' },
  ],
};
