import type { BlockSymbol } from '../../patch/symbol.ts';

/** A pulse at a fork; the road it does not take is dashed. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.12 0.6 L 0.2 0.6 L 0.2 0.4 L 0.32 0.4 L 0.32 0.6 L 0.4 0.6' },
    { path: 'M 0.48 0.5 L 0.66 0.28 L 0.88 0.28' },
    { path: 'M 0.48 0.5 L 0.66 0.72 L 0.88 0.72', dashed: true },
    { path: 'M 0.515 0.5 A 0.035 0.04 0 0 1 0.445 0.5 A 0.035 0.04 0 0 1 0.515 0.5 Z', fill: true },
  ],
};
