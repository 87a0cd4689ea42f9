import type { BlockSymbol } from '../../patch/symbol.ts';

/** The summing point of block diagrams: a circle with a sigma, drawn as strokes. */
export const symbol: BlockSymbol = {
  width: 48,
  height: 48,
  outline: 'M 1 0.5 A 0.5 0.5 0 0 1 0 0.5 A 0.5 0.5 0 0 1 1 0.5 Z',
  marks: [{ path: 'M 0.66 0.36 L 0.66 0.29 L 0.34 0.29 L 0.53 0.5 L 0.34 0.71 L 0.66 0.71 L 0.66 0.64' }],
};
