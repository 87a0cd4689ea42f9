import type { BlockSymbol } from '../../patch/symbol.ts';

/** A timing diagram: one pulse above, later several below, and the time between marked off. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.12 0.38 L 0.18 0.38 L 0.18 0.18 L 0.26 0.18 L 0.26 0.38 L 0.88 0.38' },
    {
      path: 'M 0.12 0.8 L 0.48 0.8 L 0.48 0.6 L 0.55 0.6 L 0.55 0.8 L 0.62 0.8 L 0.62 0.6 L 0.69 0.6 L 0.69 0.8 L 0.76 0.8 L 0.76 0.6 L 0.83 0.6 L 0.83 0.8 L 0.88 0.8',
    },
    { path: 'M 0.18 0.38 L 0.18 0.7 M 0.18 0.64 L 0.48 0.64', dashed: true, weight: 0.6 },
  ],
};
