import type { BlockSymbol } from '../../patch/symbol.ts';

/** The graphical symbol of a microphone: a circle against its membrane. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.09 L 1 0.91 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.91 L 0 0.09 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.28 0.2 L 0.28 0.8', weight: 1.4 },
    { path: 'M 0.28 0.5 A 0.18 0.24 0 0 1 0.64 0.5 A 0.18 0.24 0 0 1 0.28 0.5 Z' },
    { path: 'M 0.64 0.5 L 0.84 0.5' },
  ],
};
