import type { BlockSymbol } from '../../patch/symbol.ts';

export const symbol: BlockSymbol = { width: 72, height: 48, outline: 'M0 0 L1 0 L1 1 L0 1 Z', marks: [] };
