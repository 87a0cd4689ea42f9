import type { BlockSymbol } from '../../patch/symbol.ts';

/** One line that parts into two, with a pointer between them. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 48,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.07 0 Z',
  marks: [
    { path: 'M 0.12 0.5 L 0.3 0.5 L 0.52 0.24 L 0.88 0.24 M 0.3 0.5 L 0.52 0.76 L 0.88 0.76' },
    { path: 'M 0.7 0.36 Q 0.78 0.5 0.7 0.64 M 0.66 0.41 L 0.7 0.36 L 0.75 0.4 M 0.66 0.59 L 0.7 0.64 L 0.75 0.6', weight: 0.7 },
  ],
};
