/** The tray's drawing: one of the views, redrawn only when something differs and the screen is due. */
import { useCallback, useEffect, useRef } from 'react';
import { useStore } from 'zustand';
import { useApp, useListening, useTakePlayer } from '../app.ts';
import type { Drawing } from './drawing.ts';
import { drawMarks } from './drawMarks.ts';
import { type Lane, type TimeAxis, type Window, windowsOf } from './lanes.ts';
import { fitCanvas, paintOf } from './paint.ts';
import type { Readouts } from './readouts.ts';
import type { ScopeState, ScopeStore } from './scopeStore.ts';
import { persists } from './sweeps.ts';
import { usePaneGestures } from './usePaneGestures.ts';
import { useBeats } from './useTake.ts';
import { type View, viewOf } from './views.ts';

/** Room for the volt scale, in CSS pixels; the lanes' names stand beside the canvas. */
const gutter = 64;
/** The rate at which most devices run; a few frames more or less do not matter. */
const LIVE_RATE = 48000;

/** Windows for a view: of live sound the frames that it wants, of a take what is on the screen. */
function windowsFor(
  view: View,
  probes: readonly Lane[],
  state: ScopeState,
  live: boolean,
): { windows: (Window | undefined)[]; axis: TimeAxis } {
  const trigger = view.id === 'wave' ? state.trigger : undefined;
  if (live) {
    const span = view.liveFrames ? view.liveFrames / LIVE_RATE : Math.max(state.span, view.liveLeast ?? 0);
    return windowsOf(probes, { ...state, trigger, span }, live);
  }
  return windowsOf(probes, { ...state, trigger }, live);
}

export interface PaneProps {
  readonly scope: ScopeStore;
  /** What the view shows. */
  readonly lanes: readonly Lane[];
  /** All that is clipped. */
  readonly probes: readonly Lane[];
  readonly readouts: Readouts;
  /** Seconds of the take. */
  readonly length: number;
  /** Takes the keys that move along the time axis. */
  readonly focusAxis: () => void;
  /** Filled with a function that asks for a new drawing. */
  readonly redraw: { current: () => void };
}

export function Pane({ scope, lanes, probes, readouts, length, focusAxis, redraw }: PaneProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const frame = useRef(0);
  const again = useRef<() => void>(() => undefined);
  const pointer = useRef<{ x: number; y: number } | undefined>(undefined);
  const kept = useRef<{ windows: (Window | undefined)[]; axis: TimeAxis } | undefined>(undefined);
  const live = useListening((state) => state.sound === 'on');
  const loop = useTakePlayer((state) => state.loop);
  const beats = useBeats();
  const says = useStore(scope, ({ show }) => viewOf(show).says);
  const theme = useStore(useApp().view, (state) => state.theme);

  const draw = useCallback(() => {
    frame.current = 0;
    const target = canvas.current;
    const fitted = target && fitCanvas(target);
    if (!target || !fitted) return;
    const state = scope.getState();
    const view = viewOf(state.show);
    if (!state.frozen || !kept.current) kept.current = windowsFor(view, probes, state, live);
    const { windows, axis } = kept.current;
    const drawing: Drawing = {
      ...fitted,
      axis,
      paint: paintOf(target),
      lanes,
      windows: lanes.map(({ name }) => windows[probes.findIndex((probe) => probe.name === name)]),
      probes: probes.map((lane, i) => ({ lane, window: windows[i] })),
      pointer: pointer.current?.x,
      pointerY: pointer.current?.y,
      gutter,
      scope: state,
      beats: live ? undefined : beats,
      live,
      calm: matchMedia('(prefers-reduced-motion: reduce)').matches,
      again: () => again.current(),
      readPiece: (piece) => scope.setState({ piece }),
    };
    if (lanes.length > 0) view.draw(drawing);
    // Sweeps count time from their trigger.
    if (lanes.length > 0 && view.timed && !live && !persists(state)) drawMarks(drawing, { beats, loop });
    readouts.drawn(drawing, view);
  }, [scope, lanes, probes, live, readouts, beats, loop]);

  const ask = useCallback(() => {
    if (frame.current === 0) frame.current = requestAnimationFrame(draw);
  }, [draw]);
  again.current = ask;

  useEffect(() => {
    redraw.current = ask;
    kept.current = undefined;
    ask();
    const stop = scope.subscribe((now, before) => {
      if (now.show !== before.show || now.span !== before.span || now.start !== before.start || now.persistence !== before.persistence)
        kept.current = undefined;
      const moved = now.show !== before.show || now.span !== before.span || now.start !== before.start;
      if (moved && now.piece) scope.setState({ piece: undefined });
      ask();
    });
    const watch = new ResizeObserver(ask);
    if (canvas.current) watch.observe(canvas.current);
    return () => {
      stop();
      watch.disconnect();
      cancelAnimationFrame(frame.current);
      frame.current = 0;
    };
  }, [ask, scope, redraw]);

  // Colours are read while drawing, so another theme needs another drawing.
  useEffect(() => {
    if (theme) ask();
  }, [theme, ask]);

  const gestures = usePaneGestures({ canvas, scope, live, length, gutter });

  return (
    <canvas
      ref={canvas}
      className="probe-pane"
      data-live={live}
      role="img"
      aria-label={`${says} of ${lanes.map(({ title }) => title).join(', ')}`}
      onPointerMove={(event) => {
        pointer.current = { x: event.nativeEvent.offsetX, y: event.nativeEvent.offsetY };
        gestures.move(event);
        ask();
      }}
      onPointerLeave={() => {
        pointer.current = undefined;
        ask();
      }}
      onPointerDown={(event) => {
        focusAxis();
        gestures.down(event);
      }}
      onPointerUp={gestures.up}
      onPointerCancel={gestures.up}
    />
  );
}
