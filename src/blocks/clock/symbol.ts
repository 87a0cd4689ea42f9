import type { BlockSymbol } from '../../patch/symbol.ts';

/** A clock face. */
export const symbol: BlockSymbol = {
  width: 40,
  height: 40,
  outline: 'M 1 0.5 A 0.5 0.5 0 0 1 0 0.5 A 0.5 0.5 0 0 1 1 0.5 Z',
  marks: [
    { path: 'M 0.5 0.22 L 0.5 0.5 L 0.7 0.5' },
    { path: 'M 0.5 0.06 L 0.5 0.12 M 0.94 0.5 L 0.88 0.5 M 0.5 0.94 L 0.5 0.88 M 0.06 0.5 L 0.12 0.5', weight: 0.7 },
  ],
};
