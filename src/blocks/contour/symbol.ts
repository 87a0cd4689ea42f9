import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with the curve of a contour: a quick rise, a slower fall. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [{ path: 'M 0.16 0.76 L 0.34 0.24 Q 0.44 0.68 0.84 0.76' }],
};
