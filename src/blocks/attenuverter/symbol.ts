import type { BlockSymbol } from '../../patch/symbol.ts';

/** A small amplifier triangle crossed by the adjustment arrow of circuit diagrams. */
export const symbol: BlockSymbol = {
  width: 40,
  height: 40,
  outline: 'M 0 0 L 1 0.5 L 0 1 Z',
  marks: [{ path: 'M 0.08 0.86 L 0.66 0.14 M 0.5 0.18 L 0.66 0.14 L 0.66 0.32' }],
};
