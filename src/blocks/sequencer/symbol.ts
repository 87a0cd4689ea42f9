import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with a row of steps at different heights. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.15 0.74 L 0.29 0.74 L 0.29 0.52 L 0.43 0.52 L 0.43 0.28 L 0.57 0.28 L 0.57 0.62 L 0.71 0.62 L 0.71 0.4 L 0.85 0.4' },
  ],
};
