import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with the two gains crossing. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 48,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.07 0 Z',
  marks: [
    { path: 'M 0.16 0.82 L 0.84 0.82', weight: 0.5 },
    { path: 'M 0.16 0.24 L 0.84 0.78' },
    { path: 'M 0.16 0.78 L 0.84 0.24', dashed: true },
  ],
};
