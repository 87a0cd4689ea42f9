/** The whole take in a strip, with a bracket around what is shown: dragged, resized, moved and zoomed with mouse, touch and keys. */
import { type KeyboardEvent, type PointerEvent, type RefObject, useCallback, useEffect, useRef } from 'react';
import { useStore } from 'zustand';
import { useApp, useListening, useTakePlayer } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { AllSignals } from './AllSignals.tsx';
import { drawOverview } from './drawOverview.ts';
import type { Lane } from './lanes.ts';
import { fitCanvas, paintOf } from './paint.ts';
import { between, type ScopeStore, type Shown, spanText, within, zoomed } from './scopeStore.ts';
import { ZoomTools } from './TimeTools.tsx';
import { type Playhead, secondsText } from './usePlayhead.ts';

/** So near (CSS pixels) one takes hold of an end of the bracket; with a finger, so near. */
const NEAR = 8;
const NEAR_FINGER = 18;
/** The bracket is never narrower on the screen, however short the window is. */
const LEAST_WIDTH = 10;

export interface TimeStripProps {
  readonly scope: ScopeStore;
  readonly lanes: readonly Lane[];
  readonly length: number;
  readonly playhead: Playhead;
  /** Steps by a beat. */
  readonly step: (direction: 1 | -1) => void;
  /** Becomes the bracket, which takes the keys of the time axis. */
  readonly axis: RefObject<HTMLDivElement | null>;
  /** Filled with a function that asks for a new drawing. */
  readonly redraw: { current: () => void };
}

/** With as many digits as the span is worth. */
function shownText(start: number, span: number): string {
  const digits = span < 0.1 ? 6 : 3;
  return `${start.toFixed(digits)} to ${(start + span).toFixed(digits)} s`;
}

type Grip = 'start' | 'end' | 'all';

export function TimeStrip({ scope, lanes, length, playhead, step, axis, redraw }: TimeStripProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const strip = useRef<HTMLFieldSetElement>(null);
  const held = useRef<{ grip: Grip; x: number; from: Shown } | undefined>(undefined);
  const start = useStore(scope, (state) => state.start);
  const span = useStore(scope, (state) => state.span);
  const all = useStore(scope, (state) => state.all);
  const loop = useTakePlayer((state) => state.loop);
  const theme = useStore(useApp().view, (state) => state.theme);
  const take = useListening((state) => state.take);

  const draw = useCallback(() => {
    const target = canvas.current;
    const fitted = target && fitCanvas(target);
    if (target && fitted) drawOverview({ ...fitted, paint: paintOf(target), lanes, length });
  }, [lanes, length]);

  // Another take or theme needs another drawing, as does another width.
  useEffect(() => {
    let frame = 0;
    const ask = (): void => {
      cancelAnimationFrame(frame);
      frame = requestAnimationFrame(draw);
    };
    redraw.current = ask;
    if (take || theme) ask();
    const watch = new ResizeObserver(ask);
    if (canvas.current) watch.observe(canvas.current);
    return () => {
      watch.disconnect();
      cancelAnimationFrame(frame);
      redraw.current = () => undefined;
    };
  }, [draw, redraw, take, theme]);

  const width = (): number => Math.max(1, strip.current?.clientWidth ?? 1);
  const secondAt = (event: PointerEvent): number =>
    ((event.clientX - (strip.current?.getBoundingClientRect().left ?? 0)) / width()) * length;

  const gripAt = (event: PointerEvent): Grip | undefined => {
    const second = secondAt(event);
    const near = ((event.pointerType === 'touch' ? NEAR_FINGER : NEAR) / width()) * length;
    const [a, b] = [Math.abs(second - start), Math.abs(second - start - span)];
    // In a narrow bracket there is no room for three places to hold it: its ends are taken hold of from outside.
    const roomy = span > 3 * near;
    if (Math.min(a, b) <= near && (roomy || second < start || second > start + span)) return a < b ? 'start' : 'end';
    return second >= start && second <= start + span ? 'all' : undefined;
  };

  const down = (event: PointerEvent<HTMLFieldSetElement>): void => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    axis.current?.focus({ preventScroll: true });
    const grip = gripAt(event);
    if (!grip) scope.setState({ start: within(secondAt(event) - span / 2, span, length) });
    const { start: from, span: over } = scope.getState();
    held.current = { grip: grip ?? 'all', x: event.clientX, from: { start: from, span: over } };
  };

  const move = (event: PointerEvent<HTMLFieldSetElement>): void => {
    if (!held.current) {
      event.currentTarget.style.cursor = { start: 'ew-resize', end: 'ew-resize', all: 'grab', none: 'pointer' }[gripAt(event) ?? 'none'];
      return;
    }
    const { grip, x, from } = held.current;
    const by = ((event.clientX - x) / width()) * length;
    const end = from.start + from.span;
    if (grip === 'all') scope.setState({ start: within(from.start + by, from.span, length) });
    else
      scope.setState(
        grip === 'start'
          ? between(Math.min(from.start + by, end), end, length)
          : between(from.start, Math.max(end + by, from.start), length),
      );
  };

  const release = (): void => {
    held.current = undefined;
  };

  useEffect(() => {
    const target = strip.current;
    if (!target) return;
    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      const { start: from, span: over } = scope.getState();
      const second = ((event.clientX - target.getBoundingClientRect().left) / Math.max(1, target.clientWidth)) * length;
      const about = Math.min(1, Math.max(0, (second - from) / over));
      scope.setState(zoomed({ start: from, span: over }, 1.002 ** event.deltaY, about, length));
    };
    target.addEventListener('wheel', wheel, { passive: false });
    return () => target.removeEventListener('wheel', wheel);
  }, [scope, length]);

  const moveKeys = (event: KeyboardEvent): void => {
    const beat = event.shiftKey && { ArrowLeft: -1 as const, ArrowRight: 1 as const }[event.key];
    const by = { ArrowLeft: -0.1, ArrowDown: -0.1, ArrowRight: 0.1, ArrowUp: 0.1, PageUp: 1, PageDown: -1 }[event.key];
    if (beat) step(beat);
    else if (by !== undefined) scope.setState({ start: within(start + by * span, span, length) });
    else if (event.key === 'Home') scope.setState({ start: 0 });
    else if (event.key === 'End') scope.setState({ start: within(length, span, length) });
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  /** An end goes by a twentieth of what is shown. */
  const endKeys =
    (grip: 'start' | 'end') =>
    (event: KeyboardEvent): void => {
      const by = { ArrowLeft: -0.05, ArrowDown: -0.05, ArrowRight: 0.05, ArrowUp: 0.05 }[event.key];
      if (by === undefined) return;
      const end = start + span;
      scope.setState(grip === 'start' ? between(start + by * span, end, length) : between(start, end + by * span, length));
      event.preventDefault();
      event.stopPropagation();
    };

  const percent = (second: number): string => `${(100 * second) / length}%`;
  return (
    <div className="time-area">
      <div className="time-row">
        <div className="time-says small">
          <div className="time-zoom">
            <ZoomTools scope={scope} length={length} />
            <button
              type="button"
              aria-label="All signals"
              title="All signals of the take, with or without a probe"
              aria-expanded={all}
              aria-pressed={all}
              onClick={() => scope.setState({ all: !all })}
            >
              <Icon name="list" />
            </button>
          </div>
          <span className="soft value">{shownText(start, span)}</span>
        </div>
        <fieldset
          ref={strip}
          className="time-strip"
          onPointerDown={down}
          onPointerMove={move}
          onPointerUp={release}
          onPointerCancel={release}
          onDoubleClick={() => scope.setState({ start: 0, span: length })}
        >
          <legend className="unseen">Time axis</legend>
          <canvas ref={canvas} className="time-overview" role="img" aria-label="Overview of the whole take" />
          {loop && <div className="time-loop" style={{ left: percent(loop[0]), width: percent(loop[1] - loop[0]) }} />}
          <div className="time-beyond" style={{ left: 0, width: percent(start) }} />
          <div className="time-beyond" style={{ left: percent(start + span), right: 0 }} />
          <div
            className="time-shown"
            style={{
              left: `min(${percent(start)}, calc(100% - ${LEAST_WIDTH}px))`,
              width: `max(${percent(span)}, ${LEAST_WIDTH}px)`,
            }}
          >
            <div
              ref={axis}
              className="time-body"
              role="slider"
              tabIndex={0}
              aria-label="Shown part of the take"
              aria-valuemin={0}
              aria-valuemax={Number(Math.max(0, length - span).toFixed(6))}
              aria-valuenow={Number(start.toFixed(9))}
              aria-valuetext={`from ${secondsText(start)}, ${spanText(span)} long`}
              onKeyDown={moveKeys}
            />
            {(['start', 'end'] as const).map((grip) => (
              <div
                key={grip}
                className="time-end"
                data-end={grip}
                role="slider"
                tabIndex={0}
                aria-label={grip === 'start' ? 'Begin of the shown part' : 'End of the shown part'}
                aria-valuemin={0}
                aria-valuemax={length}
                aria-valuenow={Number((grip === 'start' ? start : start + span).toFixed(9))}
                aria-valuetext={secondsText(grip === 'start' ? start : start + span)}
                onKeyDown={endKeys(grip)}
              />
            ))}
          </div>
          <div ref={playhead.overview} className="time-playhead" hidden />
        </fieldset>
      </div>
      {all && <AllSignals length={length} />}
    </div>
  );
}
