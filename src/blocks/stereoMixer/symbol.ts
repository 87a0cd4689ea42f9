import type { BlockSymbol } from '../../patch/symbol.ts';

/** Three faders and the two lines of a stereo sum. */
export const symbol: BlockSymbol = {
  width: 72,
  height: 64,
  outline: 'M 0.06 0 L 0.94 0 Q 1 0 1 0.07 L 1 0.93 Q 1 1 0.94 1 L 0.06 1 Q 0 1 0 0.93 L 0 0.07 Q 0 0 0.06 0 Z',
  marks: [
    { path: 'M 0.2 0.2 L 0.2 0.62 M 0.36 0.2 L 0.36 0.62 M 0.52 0.2 L 0.52 0.62', weight: 0.6 },
    { path: 'M 0.15 0.32 L 0.25 0.32 M 0.31 0.48 L 0.41 0.48 M 0.47 0.38 L 0.57 0.38', weight: 2 },
    { path: 'M 0.2 0.62 L 0.2 0.72 L 0.88 0.72 M 0.52 0.62 L 0.52 0.72 M 0.36 0.62 L 0.36 0.84 L 0.88 0.84' },
  ],
};
