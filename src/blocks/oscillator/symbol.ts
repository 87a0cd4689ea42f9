import type { BlockSymbol } from '../../patch/symbol.ts';

/** A generator: a circle with its wave, a saw. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 56,
  outline: 'M0 0.5 A0.5 0.5 0 1 1 1 0.5 A0.5 0.5 0 1 1 0 0.5 Z',
  marks: [{ path: 'M0.26 0.5 L0.38 0.34 L0.38 0.66 L0.62 0.34 L0.62 0.66 L0.74 0.5' }],
};
