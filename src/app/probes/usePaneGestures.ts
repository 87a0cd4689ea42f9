/** Wheel, drag and pinch on the drawing: zoom about the pointer, move along. */
import { type PointerEvent, type RefObject, useEffect, useRef } from 'react';
import { LEAST_SPAN, type ScopeStore, type Shown, within, zoomed } from './scopeStore.ts';
import { viewOf } from './views.ts';

export interface PaneGesturesParts {
  readonly canvas: RefObject<HTMLCanvasElement | null>;
  readonly scope: ScopeStore;
  /** Sound is playing: there is nothing to move along, and one zooms about the newest moment. */
  readonly live: boolean;
  /** Seconds of the take. */
  readonly length: number;
  /** CSS pixels left of the time axis. */
  readonly gutter: number;
}

/** Two fingers stay on the seconds that they touched first. `a` and `b` are shares of the width, then and now. */
export function pinched(from: Shown, then: readonly [number, number], now: readonly [number, number], length: number): Shown {
  const apart = now[1] - now[0];
  if (Math.abs(apart) < 1e-3) return from;
  const wanted = (from.span * (then[1] - then[0])) / apart;
  const span = Math.min(Math.max(wanted, LEAST_SPAN), Math.max(length, LEAST_SPAN));
  const second = from.start + from.span * (then[0] + then[1]) * 0.5;
  return { span, start: within(second - span * (now[0] + now[1]) * 0.5, span, length) };
}

export function usePaneGestures({ canvas, scope, live, length, gutter }: PaneGesturesParts) {
  /** Where the pointers on the drawing are, in order of their coming, as shares of the width. */
  const pointers = useRef(new Map<number, number>());
  const begun = useRef<{ at: number[]; from: Shown } | undefined>(undefined);

  const share = (clientX: number): number => {
    const box = canvas.current?.getBoundingClientRect();
    return box ? (clientX - box.left - gutter) / Math.max(1, box.width - gutter) : 0;
  };
  const begin = (): void => {
    const { start, span } = scope.getState();
    begun.current = { at: [...pointers.current.values()], from: { start, span } };
  };

  // React's wheel listeners are passive; zooming must keep the page from scrolling.
  useEffect(() => {
    const target = canvas.current;
    if (!target) return;
    const wheel = (event: WheelEvent): void => {
      if (!viewOf(scope.getState().show).timed) return;
      event.preventDefault();
      const about = live ? 1 : Math.min(1, Math.max(0, share(event.clientX)));
      const state = scope.getState();
      if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
        const by = ((event.deltaX || event.deltaY) / target.clientWidth) * state.span;
        scope.setState({ start: within(state.start + by, state.span, length) });
      } else scope.setState(zoomed(state, 1.002 ** event.deltaY, about, length));
    };
    target.addEventListener('wheel', wheel, { passive: false });
    return () => target.removeEventListener('wheel', wheel);
  });

  return {
    down(event: PointerEvent<HTMLCanvasElement>): void {
      if (event.button !== 0) return;
      event.currentTarget.setPointerCapture(event.pointerId);
      pointers.current.set(event.pointerId, share(event.clientX));
      begin();
    },
    move(event: PointerEvent<HTMLCanvasElement>): void {
      if (!pointers.current.has(event.pointerId) || !begun.current) return;
      pointers.current.set(event.pointerId, share(event.clientX));
      const { at, from } = begun.current;
      const now = [...pointers.current.values()];
      const [a, b] = [now[0] as number, now[1]];
      if (!viewOf(scope.getState().show).timed) return;
      if (b !== undefined) {
        const next = pinched(from, [at[0] as number, at[1] as number], [a, b], length);
        scope.setState(live ? { span: next.span } : next);
      } else if (!live) scope.setState({ start: within(from.start - (a - (at[0] as number)) * from.span, from.span, length) });
    },
    up(event: PointerEvent<HTMLCanvasElement>): void {
      pointers.current.delete(event.pointerId);
      begin();
    },
  };
}
