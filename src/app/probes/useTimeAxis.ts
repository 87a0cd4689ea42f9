/** Keeps the shown part of the take in step with the take, and tells who renders what is looked at. */
import { useEffect, useRef } from 'react';
import { useApp, useListening, useSession } from '../app.ts';
import { beatFrom, standing } from './beats.ts';
import { fitted, type ScopeStore, within, zoomCentre, zoomed } from './scopeStore.ts';
import { ZOOM_STEP } from './TimeTools.tsx';
import { type Playhead, usePlayhead } from './usePlayhead.ts';
import { useBeats } from './useTake.ts';
import { stretchOf, viewOf } from './views.ts';

export interface TimeAxisTools {
  readonly playhead: Playhead;
  /** To the next or the last beat; what is shown goes along. */
  readonly step: (direction: 1 | -1) => void;
}

export function useTimeAxis(scope: ScopeStore, length: number): TimeAxisTools {
  const { listening, takePlayer } = useApp();
  const live = useListening(({ sound }) => sound === 'on');
  const opened = useSession((state) => state.opened.count);
  const beats = useBeats();
  const playhead = usePlayhead(scope, length);
  const known = useRef({ length, opened });

  useEffect(() => {
    const { length: before, opened: old } = known.current;
    known.current = { length, opened };
    if (old !== opened) scope.setState({ start: 0, span: length });
    else if (before !== length) scope.setState(fitted(scope.getState(), before, length));
  }, [scope, length, opened]);

  useEffect(() => {
    if (live) return;
    const tell = (): void => {
      const state = scope.getState();
      listening.look(stretchOf(viewOf(state.show), state));
    };
    tell();
    const stop = scope.subscribe(tell);
    return () => {
      stop();
      listening.look(undefined);
    };
  }, [scope, listening, live]);

  const step = (direction: 1 | -1): void => {
    if (!beats) return;
    const { start, span } = scope.getState();
    const at = standing({ start, span }, takePlayer.position());
    const to = beatFrom(beats, at, direction, takePlayer.getState().playing);
    if (to === undefined) return;
    takePlayer.seek(to);
    scope.setState({ start: within(start + to - at, span, length) });
    playhead.moved();
  };

  // Keys that work anywhere in the tray.
  useEffect(() => {
    const keys = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
      const { target } = event;
      if (!(target instanceof Element) || !target.closest('.probes') || target.matches('input, select, textarea')) return;
      const state = scope.getState();
      const about = live ? 1 : zoomCentre(state, takePlayer.position());
      if (event.key === '+' || event.key === '=') scope.setState(zoomed(state, 1 / ZOOM_STEP, about, length));
      else if (event.key === '-') scope.setState(zoomed(state, ZOOM_STEP, about, length));
      else if (event.key === '0') scope.setState({ start: 0, span: length });
      else return;
      event.preventDefault();
    };
    window.addEventListener('keydown', keys);
    return () => window.removeEventListener('keydown', keys);
  }, [scope, takePlayer, live, length]);

  return { playhead, step };
}
