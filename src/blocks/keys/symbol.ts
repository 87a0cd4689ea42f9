import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with a stretch of piano keys. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.14 0.22 L 0.86 0.22 L 0.86 0.78 L 0.14 0.78 Z' },
    { path: 'M 0.32 0.5 L 0.32 0.78 M 0.5 0.5 L 0.5 0.78 M 0.68 0.22 L 0.68 0.78' },
    { path: 'M 0.27 0.22 L 0.37 0.22 L 0.37 0.54 L 0.27 0.54 Z M 0.45 0.22 L 0.55 0.22 L 0.55 0.54 L 0.45 0.54 Z', fill: true },
  ],
};
