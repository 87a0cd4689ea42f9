import type { BlockSymbol } from '../../patch/symbol.ts';

/** A generator circle with a triangle wave. */
export const symbol: BlockSymbol = {
  width: 48,
  height: 48,
  outline: 'M 1 0.5 A 0.5 0.5 0 0 1 0 0.5 A 0.5 0.5 0 0 1 1 0.5 Z',
  marks: [{ path: 'M 0.22 0.5 L 0.36 0.32 L 0.64 0.68 L 0.78 0.5' }],
};
