import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with the light-dependent resistor of circuit diagrams in the line: a rectangle met by two rays, and a capacitor to ground. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.09 L 1 0.91 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.91 L 0 0.09 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.12 0.46 L 0.26 0.46 M 0.56 0.46 L 0.88 0.46' },
    { path: 'M 0.26 0.37 L 0.56 0.37 L 0.56 0.55 L 0.26 0.55 Z' },
    {
      path: 'M 0.22 0.1 L 0.34 0.29 M 0.29 0.26 L 0.34 0.29 L 0.33 0.2 M 0.38 0.1 L 0.5 0.29 M 0.45 0.26 L 0.5 0.29 L 0.49 0.2',
      weight: 0.7,
    },
    { path: 'M 0.72 0.46 L 0.72 0.62 M 0.63 0.62 L 0.81 0.62 M 0.63 0.71 L 0.81 0.71 M 0.72 0.71 L 0.72 0.84 M 0.66 0.84 L 0.78 0.84' },
  ],
};
