import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with the folded transfer curve through the origin of a pair of axes. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.12 0.5 L 0.88 0.5 M 0.5 0.14 L 0.5 0.86', weight: 0.5 },
    { path: 'M 0.14 0.74 L 0.26 0.26 L 0.42 0.74 L 0.58 0.26 L 0.74 0.74 L 0.86 0.26' },
  ],
};
