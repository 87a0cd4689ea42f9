import type { BlockSymbol } from '../../patch/symbol.ts';

/** A filter box with two responses that cross at the cutoff: low-pass drawn through, high-pass dashed. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.09 L 1 0.91 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.91 L 0 0.09 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.14 0.8 L 0.86 0.8', weight: 0.5 },
    { path: 'M 0.14 0.3 L 0.38 0.3 C 0.52 0.3 0.56 0.46 0.78 0.8' },
    { path: 'M 0.86 0.3 L 0.62 0.3 C 0.48 0.3 0.44 0.46 0.22 0.8', dashed: true },
  ],
};
