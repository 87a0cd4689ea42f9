import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with the outline of a loudspeaker. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 48,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.07 0 Z',
  marks: [
    { path: 'M 0.3 0.39 L 0.4 0.39 L 0.55 0.24 L 0.55 0.76 L 0.4 0.61 L 0.3 0.61 Z' },
    { path: 'M 0.63 0.4 Q 0.68 0.5 0.63 0.6 M 0.7 0.32 Q 0.79 0.5 0.7 0.68' },
  ],
};
