import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with a swelling sound and the line over its peaks. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.09 L 1 0.91 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.91 L 0 0.09 Q 0 0 0.06 0 Z',
  marks: [
    {
      path: 'M 0.12 0.58 L 0.17 0.5 L 0.22 0.66 L 0.28 0.4 L 0.34 0.78 L 0.4 0.32 L 0.46 0.84 L 0.52 0.38 L 0.58 0.78 L 0.64 0.46 L 0.7 0.7 L 0.76 0.54 L 0.82 0.62 L 0.88 0.58',
      weight: 0.6,
    },
    { path: 'M 0.12 0.5 C 0.24 0.42 0.3 0.2 0.4 0.2 C 0.56 0.2 0.68 0.42 0.88 0.48' },
  ],
};
