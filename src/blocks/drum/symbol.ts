import type { BlockSymbol } from '../../patch/symbol.ts';

/** A generator circle with a wave that dies away. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 56,
  outline: 'M 1 0.5 A 0.5 0.5 0 0 1 0 0.5 A 0.5 0.5 0 0 1 1 0.5 Z',
  marks: [
    {
      path: 'M 0.16 0.5 L 0.24 0.5 C 0.27 0.1 0.32 0.1 0.36 0.5 C 0.41 0.86 0.46 0.86 0.52 0.5 C 0.57 0.3 0.62 0.3 0.68 0.5 C 0.73 0.58 0.78 0.58 0.86 0.5',
    },
  ],
};
