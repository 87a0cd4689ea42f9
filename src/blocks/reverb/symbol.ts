import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with an echogram: the sound, its first reflections, and the tail that dies away. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.09 L 1 0.91 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.91 L 0 0.09 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.12 0.8 L 0.88 0.8', weight: 0.5 },
    { path: 'M 0.17 0.8 L 0.17 0.16', weight: 1.4 },
    {
      path: 'M 0.3 0.8 L 0.3 0.36 M 0.38 0.8 L 0.38 0.44 M 0.45 0.8 L 0.45 0.46 M 0.51 0.8 L 0.51 0.54 M 0.56 0.8 L 0.56 0.56 M 0.61 0.8 L 0.61 0.62 M 0.66 0.8 L 0.66 0.65 M 0.71 0.8 L 0.71 0.69 M 0.76 0.8 L 0.76 0.72 M 0.81 0.8 L 0.81 0.75',
    },
  ],
};
