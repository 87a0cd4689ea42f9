/** What the hands are doing on the sketch just now. Nothing here outlives the gesture. */
import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Point } from '../../sheet/drawing/geometry.ts';
import type { Cabling, PortRef } from './cabling.ts';
import type { DrawnStore } from './drawn.ts';

export type MenuTarget =
  | { readonly kind: 'blocks' }
  | { readonly kind: 'cable'; readonly input: string }
  | { readonly kind: 'port'; readonly port: PortRef }
  /** The cable in hand was dropped on a block: to which of its ports? */
  | { readonly kind: 'ends'; readonly block: string }
  | { readonly kind: 'paper'; readonly at: Point };

export interface OpenMenu {
  readonly target: MenuTarget;
  /** Where it opens, in CSS pixels of the window. */
  readonly x: number;
  readonly y: number;
}

export interface SketchState {
  /** Centres of blocks that a pointer is dragging. */
  readonly moved: ReadonlyMap<string, Point>;
  readonly cabling: Cabling | undefined;
  /** The cable ("block.port" of its input) into which the dragged block would go. */
  readonly into: string | undefined;
  /** A function dragged out of the list, over the sketch. */
  readonly ghost: { readonly type: string; readonly at: Point } | undefined;
  readonly renaming: string | undefined;
  readonly menu: OpenMenu | undefined;
  /** Where the palette will place what is chosen; a cable's name inserts it there. */
  readonly placeAt: Point | string | undefined;
}

export type SketchStore = StoreApi<SketchState>;

const still: ReadonlyMap<string, Point> = new Map();

export const restingSketch: SketchState = {
  moved: still,
  cabling: undefined,
  into: undefined,
  ghost: undefined,
  renaming: undefined,
  menu: undefined,
  placeAt: undefined,
};

export function createSketchStore(): SketchStore {
  return createStore<SketchState>()(() => restingSketch);
}

export interface SketchParts {
  readonly sketch: SketchStore;
  readonly drawn: DrawnStore;
}

export const SketchContext = createContext<SketchParts | undefined>(undefined);

export function useSketchParts(): SketchParts {
  const parts = useContext(SketchContext);
  if (!parts) throw new Error('useSketchParts needs a <SketchContext> around it');
  return parts;
}

export function useSketch<T>(select: (state: SketchState) => T): T {
  return useStore(useSketchParts().sketch, select);
}
