import type { BlockSymbol } from '../../patch/symbol.ts';

/** Contacts on the left and an arm that rests on one of them. */
export const symbol: BlockSymbol = {
  width: 56,
  height: 64,
  outline: 'M 0.07 0 L 0.93 0 Q 1 0 1 0.07 L 1 0.93 Q 1 1 0.93 1 L 0.07 1 Q 0 1 0 0.93 L 0 0.07 Q 0 0 0.07 0 Z',
  marks: [
    { path: 'M 0.1 0.2 L 0.26 0.2 M 0.1 0.4 L 0.26 0.4 M 0.1 0.6 L 0.26 0.6 M 0.1 0.8 L 0.26 0.8 M 0.3 0.4 L 0.66 0.5 L 0.9 0.5' },
    {
      path: 'M 0.31 0.2 A 0.03 0.026 0 0 1 0.25 0.2 A 0.03 0.026 0 0 1 0.31 0.2 Z M 0.31 0.4 A 0.03 0.026 0 0 1 0.25 0.4 A 0.03 0.026 0 0 1 0.31 0.4 Z M 0.31 0.6 A 0.03 0.026 0 0 1 0.25 0.6 A 0.03 0.026 0 0 1 0.31 0.6 Z M 0.31 0.8 A 0.03 0.026 0 0 1 0.25 0.8 A 0.03 0.026 0 0 1 0.31 0.8 Z M 0.69 0.5 A 0.03 0.026 0 0 1 0.63 0.5 A 0.03 0.026 0 0 1 0.69 0.5 Z',
      fill: true,
    },
  ],
};
