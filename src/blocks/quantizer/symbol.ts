import type { BlockSymbol } from '../../patch/symbol.ts';

/** The characteristic of a quantizer: a staircase along the straight line. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.16 0.84 L 0.28 0.84 L 0.28 0.67 L 0.43 0.67 L 0.43 0.5 L 0.58 0.5 L 0.58 0.33 L 0.73 0.33 L 0.73 0.16 L 0.86 0.16' },
    { path: 'M 0.18 0.88 L 0.82 0.12', dashed: true, weight: 0.6 },
  ],
};
