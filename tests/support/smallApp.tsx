/** The page's stores around the small catalogue, with plain boxes as symbols, and a way to render parts of the page in them. */
import { render } from '@testing-library/react';
import type { ReactNode } from 'react';
import { type App, AppContext } from '../../src/app/app.ts';
import { createApp } from '../../src/app/createApp.ts';
import type { Patch } from '../../src/patch/document.ts';
import type { BlockSymbol } from '../../src/patch/symbol.ts';
import { smallCatalogue } from './smallCatalogue.ts';

const box: BlockSymbol = { width: 64, height: 48, outline: 'M0 0 L1 0 L1 1 L0 1 Z', marks: [] };

export const smallSymbols: Readonly<Record<string, BlockSymbol>> = Object.fromEntries(
  [...smallCatalogue.keys()].map((type) => [type, box]),
);

export function smallApp(patch?: Patch): App {
  return createApp({ specs: [...smallCatalogue.values()], symbols: smallSymbols, ...(patch && { patch }) });
}

export function renderIn(app: App, children: ReactNode) {
  return render(<AppContext value={app}>{children}</AppContext>);
}
