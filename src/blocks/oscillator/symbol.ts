import type { BlockSymbol } from '../../patch/symbol.ts';

/** A generator: a circle with one cycle of its wave and the start of the next. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 56,
  outline: 'M0 0.5 A0.5 0.5 0 1 1 1 0.5 A0.5 0.5 0 1 1 0 0.5 Z',
  marks: [{ path: 'M0.24 0.6 L0.44 0.38 L0.44 0.64 L0.68 0.36 L0.68 0.62 L0.76 0.53' }],
};
