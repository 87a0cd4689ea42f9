import type { BlockSymbol } from '../../patch/symbol.ts';

/** The multiplication point of block diagrams: a circle with a cross. */
export const symbol: BlockSymbol = {
  width: 48,
  height: 48,
  outline: 'M 1 0.5 A 0.5 0.5 0 0 1 0 0.5 A 0.5 0.5 0 0 1 1 0.5 Z',
  marks: [{ path: 'M 0.32 0.32 L 0.68 0.68 M 0.68 0.32 L 0.32 0.68' }],
};
