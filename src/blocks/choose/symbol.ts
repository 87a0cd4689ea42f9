import type { BlockSymbol } from '../../patch/symbol.ts';

/** The wafer switch of circuit drawings: contacts on the left, one pole on the right with its arm on one of them. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 64,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.9 0.5 L 0.72 0.5 L 0.36 0.42 M 0.1 0.2 L 0.28 0.2 M 0.1 0.4 L 0.28 0.4 M 0.1 0.6 L 0.28 0.6 M 0.1 0.8 L 0.28 0.8' },
    {
      path: 'M 0.75 0.5 A 0.03 0.03 0 0 1 0.69 0.5 A 0.03 0.03 0 0 1 0.75 0.5 Z M 0.33 0.2 A 0.03 0.03 0 0 1 0.27 0.2 A 0.03 0.03 0 0 1 0.33 0.2 Z M 0.33 0.4 A 0.03 0.03 0 0 1 0.27 0.4 A 0.03 0.03 0 0 1 0.33 0.4 Z M 0.33 0.6 A 0.03 0.03 0 0 1 0.27 0.6 A 0.03 0.03 0 0 1 0.33 0.6 Z M 0.33 0.8 A 0.03 0.03 0 0 1 0.27 0.8 A 0.03 0.03 0 0 1 0.33 0.8 Z',
      fill: true,
    },
  ],
};
