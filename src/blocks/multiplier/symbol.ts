import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box: few pulses above, many below. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.14 0.42 L 0.14 0.22 L 0.32 0.22 L 0.32 0.42 L 0.5 0.42 L 0.5 0.22 L 0.68 0.22 L 0.68 0.42 L 0.86 0.42' },
    {
      path: 'M 0.14 0.78 L 0.14 0.78 L 0.14 0.58 L 0.23 0.58 L 0.23 0.78 L 0.32 0.78 L 0.32 0.58 L 0.41 0.58 L 0.41 0.78 L 0.5 0.78 L 0.5 0.58 L 0.59 0.58 L 0.59 0.78 L 0.68 0.78 L 0.68 0.58 L 0.77 0.58 L 0.77 0.78 L 0.86 0.78',
    },
  ],
};
