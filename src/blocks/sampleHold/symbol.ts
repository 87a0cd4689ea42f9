import type { BlockSymbol } from '../../patch/symbol.ts';

/** The circuit of text books: a switch in the line, closed by the trigger, and a capacitor that keeps the voltage. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 48,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.09 L 1 0.91 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.91 L 0 0.09 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.12 0.38 L 0.28 0.38 L 0.48 0.18 M 0.5 0.38 L 0.88 0.38' },
    {
      path: 'M 0.3 0.38 A 0.02 0.03 0 0 1 0.26 0.38 A 0.02 0.03 0 0 1 0.3 0.38 Z M 0.52 0.38 A 0.02 0.03 0 0 1 0.48 0.38 A 0.02 0.03 0 0 1 0.52 0.38 Z',
      fill: true,
    },
    { path: 'M 0.68 0.38 L 0.68 0.56 M 0.58 0.56 L 0.78 0.56 M 0.58 0.66 L 0.78 0.66 M 0.68 0.66 L 0.68 0.82 M 0.61 0.82 L 0.75 0.82' },
    { path: 'M 0.38 0.88 L 0.38 0.34', dashed: true, weight: 0.6 },
  ],
};
