import type { BlockSymbol } from '../../patch/symbol.ts';

/** The amplifier triangle of block diagrams. */
export const symbol: BlockSymbol = {
  width: 48,
  height: 48,
  outline: 'M 0 0 L 1 0.5 L 0 1 Z',
  marks: [],
};
