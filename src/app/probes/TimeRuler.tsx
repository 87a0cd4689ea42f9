/** The time below the pictures: a click moves the playhead, Shift and a drag mark what goes round. */
import { type KeyboardEvent, type PointerEvent, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { useApp } from '../app.ts';
import type { ScopeStore } from './scopeStore.ts';
import type { Playhead } from './usePlayhead.ts';

/** So near (CSS pixels) one takes hold of an end of the loop. */
const NEAR = 6;

export interface TimeRulerProps {
  readonly scope: ScopeStore;
  readonly length: number;
  readonly playhead: Playhead;
  readonly step: (direction: 1 | -1) => void;
}

export function TimeRuler({ scope, length, playhead, step }: TimeRulerProps) {
  const { takePlayer } = useApp();
  const start = useStore(scope, (state) => state.start);
  const span = useStore(scope, (state) => state.span);
  /** The fixed and the moving end of a loop that is being marked. */
  const [marked, setMarked] = useState<readonly [number, number]>();
  const seeking = useRef(false);

  const secondAt = (event: PointerEvent<HTMLElement>): number => {
    const box = event.currentTarget.getBoundingClientRect();
    const share = Math.min(1, Math.max(0, (event.clientX - box.left) / Math.max(1, box.width)));
    return Math.min(length, start + share * span);
  };
  const seek = (second: number): void => {
    takePlayer.seek(second);
    playhead.moved();
  };

  const down = (event: PointerEvent<HTMLDivElement>): void => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    const second = secondAt(event);
    const near = (NEAR / Math.max(1, event.currentTarget.clientWidth)) * span;
    const { loop } = takePlayer.getState();
    const end = loop?.findIndex((at) => Math.abs(at - second) <= near) ?? -1;
    if (event.shiftKey) setMarked([second, second]);
    else if (loop && end >= 0) setMarked([loop[1 - end] as number, second]);
    else {
      seeking.current = true;
      seek(second);
    }
  };
  const move = (event: PointerEvent<HTMLDivElement>): void => {
    if (marked) setMarked([marked[0], secondAt(event)]);
    // What sounds is not torn about: it goes there when the pointer is let go.
    else if (seeking.current && !takePlayer.getState().playing) seek(secondAt(event));
  };
  const up = (event: PointerEvent<HTMLDivElement>): void => {
    if (marked) takePlayer.setLoop([Math.min(...marked), Math.max(...marked)]);
    else if (seeking.current) seek(secondAt(event));
    cancel();
  };
  const cancel = (): void => {
    setMarked(undefined);
    seeking.current = false;
  };

  const keys = (event: KeyboardEvent): void => {
    const beat = event.shiftKey && { ArrowLeft: -1 as const, ArrowRight: 1 as const }[event.key];
    const by = { ArrowLeft: -0.01, ArrowDown: -0.01, ArrowRight: 0.01, ArrowUp: 0.01, PageUp: 0.1, PageDown: -0.1 }[event.key];
    if (beat) step(beat);
    else if (by !== undefined) seek(Math.min(length, Math.max(0, takePlayer.position() + by * span)));
    else if (event.key === 'Home') seek(0);
    else if (event.key === 'End') seek(length);
    else if (event.key === ' ' || event.key === 'Enter') takePlayer.toggle();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  const percent = (second: number): string => `${Math.min(100, Math.max(0, (100 * (second - start)) / span))}%`;
  return (
    <>
      <div
        ref={playhead.slider}
        className="time-ruler"
        role="slider"
        tabIndex={0}
        aria-label="Playhead"
        aria-valuemin={0}
        aria-valuemax={length}
        aria-valuenow={0}
        title="Click: the playhead goes there. Shift and drag: what goes round. Space plays."
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={up}
        onPointerCancel={cancel}
        onKeyDown={keys}
      />
      {marked && (
        <div className="time-loop" style={{ left: percent(Math.min(...marked)), right: `calc(100% - ${percent(Math.max(...marked))})` }} />
      )}
    </>
  );
}
