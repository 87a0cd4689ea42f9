import type { BlockSymbol } from '../../patch/symbol.ts';

/** A box with the two inputs and the two outputs of a bistable element, named as the standards do. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 56,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.07 L 1 0.93 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.93 L 0 0.07 Q 0 0 0.07 0 Z',
  marks: [
    { text: 'S', x: 0.22, y: 0.28, size: 0.24 },
    { text: 'R', x: 0.22, y: 0.74, size: 0.24 },
    { text: 'Q', x: 0.78, y: 0.28, size: 0.24 },
    { text: 'Q', x: 0.78, y: 0.74, size: 0.24 },
    { path: 'M 0.7 0.59 L 0.86 0.59', weight: 0.7 },
  ],
};
