import type { BlockSymbol } from '../../patch/symbol.ts';

/** The wafer switch of circuit drawings: one pole on the left, its arm on one of the contacts on the right. */
export const symbol: BlockSymbol = {
  width: 64,
  height: 64,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.1 0.5 L 0.28 0.5 L 0.64 0.42 M 0.72 0.2 L 0.9 0.2 M 0.72 0.4 L 0.9 0.4 M 0.72 0.6 L 0.9 0.6 M 0.72 0.8 L 0.9 0.8' },
    {
      path: 'M 0.31 0.5 A 0.03 0.03 0 0 1 0.25 0.5 A 0.03 0.03 0 0 1 0.31 0.5 Z M 0.73 0.2 A 0.03 0.03 0 0 1 0.67 0.2 A 0.03 0.03 0 0 1 0.73 0.2 Z M 0.73 0.4 A 0.03 0.03 0 0 1 0.67 0.4 A 0.03 0.03 0 0 1 0.73 0.4 Z M 0.73 0.6 A 0.03 0.03 0 0 1 0.67 0.6 A 0.03 0.03 0 0 1 0.73 0.6 Z M 0.73 0.8 A 0.03 0.03 0 0 1 0.67 0.8 A 0.03 0.03 0 0 1 0.73 0.8 Z',
      fill: true,
    },
  ],
};
