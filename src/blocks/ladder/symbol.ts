import type { BlockSymbol } from '../../patch/symbol.ts';

/** A filter box with the low-pass response of four poles: flat, a small peak, a steep fall. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.09 L 1 0.91 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.91 L 0 0.09 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.14 0.8 L 0.86 0.8', weight: 0.5 },
    { path: 'M 0.14 0.38 L 0.42 0.38 C 0.5 0.38 0.54 0.2 0.6 0.2 C 0.66 0.2 0.67 0.42 0.78 0.8' },
  ],
};
