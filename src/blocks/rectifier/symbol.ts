import type { BlockSymbol } from '../../patch/symbol.ts';

/** The diode of circuit diagrams. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 48,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.07 0 Z',
  marks: [
    { path: 'M 0.12 0.5 L 0.36 0.5 M 0.64 0.5 L 0.88 0.5 M 0.64 0.28 L 0.64 0.72' },
    { path: 'M 0.36 0.28 L 0.64 0.5 L 0.36 0.72 Z', fill: true },
  ],
};
