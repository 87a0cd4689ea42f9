import type { BlockSymbol } from '../../patch/symbol.ts';

/** A generator circle: steps at uneven heights, and a smooth curve through them. */
export const symbol: BlockSymbol = {
  width: 48,
  height: 48,
  outline: 'M 1 0.5 A 0.5 0.5 0 0 1 0 0.5 A 0.5 0.5 0 0 1 1 0.5 Z',
  marks: [
    { path: 'M 0.16 0.6 L 0.3 0.6 L 0.3 0.34 L 0.44 0.34 L 0.44 0.52 L 0.58 0.52 L 0.58 0.26 L 0.7 0.26 L 0.7 0.66 L 0.84 0.66' },
    {
      path: 'M 0.16 0.74 C 0.23 0.74 0.23 0.6 0.3 0.6 C 0.37 0.6 0.37 0.78 0.44 0.78 C 0.51 0.78 0.51 0.56 0.58 0.56 C 0.65 0.56 0.65 0.72 0.74 0.76',
      weight: 0.6,
    },
  ],
};
