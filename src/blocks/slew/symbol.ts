import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with a step, dashed, and the slope that comes of it. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.26 0.76 L 0.26 0.26 L 0.62 0.26 L 0.62 0.76', dashed: true, weight: 0.7 },
    { path: 'M 0.12 0.76 L 0.26 0.76 L 0.46 0.26 L 0.62 0.26 L 0.84 0.76 L 0.9 0.76' },
  ],
};
