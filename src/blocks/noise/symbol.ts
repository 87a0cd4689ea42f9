import type { BlockSymbol } from '../../patch/symbol.ts';

/** The generator circle with an irregular wave. */
export const symbol: BlockSymbol = {
  width: 48,
  height: 48,
  outline: 'M 1 0.5 A 0.5 0.5 0 0 1 0 0.5 A 0.5 0.5 0 0 1 1 0.5 Z',
  marks: [
    {
      path: 'M 0.2 0.52 L 0.25 0.4 L 0.3 0.62 L 0.35 0.3 L 0.4 0.56 L 0.45 0.46 L 0.5 0.72 L 0.55 0.34 L 0.6 0.6 L 0.65 0.44 L 0.7 0.68 L 0.75 0.38 L 0.8 0.5',
    },
  ],
};
