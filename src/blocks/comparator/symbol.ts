import type { BlockSymbol } from '../../patch/symbol.ts';

/** A triangle with the loop of a switching point with hysteresis. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 56,
  outline: 'M 0 0 L 1 0.5 L 0 1 Z',
  marks: [{ path: 'M 0.12 0.62 L 0.44 0.62 L 0.44 0.38 L 0.62 0.38 M 0.44 0.38 L 0.28 0.38 L 0.28 0.62' }],
};
