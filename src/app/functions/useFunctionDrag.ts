/** Dragging a function out of the list onto the sketch, with pointer events so that pen and finger can do it too. */
import { type PointerEvent, useRef } from 'react';
import { useApp } from '../app.ts';

const SLOP = 5;

interface Press {
  readonly x: number;
  readonly y: number;
  dragging: boolean;
}

export function useFunctionDrag(type: string) {
  const { sketch } = useApp();
  const press = useRef<Press>(undefined);
  const dragged = useRef(false);

  const end = (): void => {
    press.current = undefined;
  };

  return {
    /** Was the press that just ended a drag? Then the click that follows it means nothing. */
    dragged: () => dragged.current,
    handlers: {
      onPointerDown(event: PointerEvent<HTMLElement>) {
        dragged.current = false;
        if (event.button !== 0) return;
        press.current = { x: event.clientX, y: event.clientY, dragging: false };
      },
      onPointerMove(event: PointerEvent<HTMLElement>) {
        const { current } = press;
        if (!current) return;
        if (!current.dragging && Math.hypot(event.clientX - current.x, event.clientY - current.y) > SLOP) {
          current.dragging = true;
          dragged.current = true;
          event.currentTarget.setPointerCapture(event.pointerId);
        }
        if (current.dragging) sketch.current?.dragOver(type, event.clientX, event.clientY);
      },
      onPointerUp(event: PointerEvent<HTMLElement>) {
        if (press.current?.dragging) sketch.current?.drop(type, event.clientX, event.clientY);
        end();
      },
      onPointerCancel() {
        if (press.current?.dragging) sketch.current?.dragCancel();
        end();
      },
      onKeyDown() {
        dragged.current = false;
      },
    },
  };
}
