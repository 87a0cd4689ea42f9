import type { BlockSymbol } from '../../patch/symbol.ts';

/** The push contact of circuit diagrams: two ends of a line and a bar above them. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 48,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.08 L 1 0.92 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.92 L 0 0.08 Q 0 0 0.07 0 Z',
  marks: [
    { path: 'M 0.12 0.66 L 0.34 0.66 M 0.66 0.66 L 0.88 0.66 M 0.28 0.46 L 0.72 0.46 M 0.5 0.46 L 0.5 0.2 M 0.38 0.2 L 0.62 0.2' },
    {
      path: 'M 0.38 0.66 A 0.03 0.035 0 0 1 0.32 0.66 A 0.03 0.035 0 0 1 0.38 0.66 Z M 0.68 0.66 A 0.03 0.035 0 0 1 0.62 0.66 A 0.03 0.035 0 0 1 0.68 0.66 Z',
      fill: true,
    },
  ],
};
