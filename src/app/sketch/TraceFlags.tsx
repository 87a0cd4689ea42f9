/**
 * The little flags on the cables: the last seconds of their voltage. Nothing of it passes through React: a flag hears of
 * new columns and draws them on its own canvas when the screen is due.
 */
import { memo, useEffect, useRef } from 'react';
import { useStore } from 'zustand';
import type { CableRoute } from '../../sheet/drawing/route.ts';
import { useApp } from '../app.ts';
import type { Trace } from '../store/traces.ts';
import { drawTrace } from './drawTrace.ts';
import { longestMiddle } from './middle.ts';
import { useSketchParts } from './sketchStore.ts';

export const FLAG = { width: 48, height: 20 } as const;
const LEAST_ROOM = 56;

export function TraceFlags() {
  const routes = useStore(useSketchParts().drawn, (state) => state.routes);
  const shown = new Set<string>();
  return [...routes.values()].map((route) => {
    // Cables of one output carry the same voltage: the first one shows it.
    if (shown.has(route.source)) return null;
    const spot = longestMiddle(route.points.slice(route.ownFrom));
    if (!spot || spot.length < LEAST_ROOM) return null;
    shown.add(route.source);
    return <TraceFlag key={route.source} route={route} x={spot.at[0]} y={spot.at[1]} />;
  });
}

const TraceFlag = memo(function TraceFlag({ route, x, y }: { readonly route: CableRoute; readonly x: number; readonly y: number }) {
  const { traces } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const { source } = route;
  useEffect(() => {
    const [block = '', port = ''] = splitName(source);
    let latest: Trace | undefined;
    let frame = 0;
    const draw = (): void => {
      frame = 0;
      if (canvas.current && latest) drawTrace(canvas.current, latest);
    };
    const stop = traces.subscribe([block, port], (trace) => {
      latest = trace;
      if (frame === 0) frame = requestAnimationFrame(draw);
    });
    return () => {
      stop();
      cancelAnimationFrame(frame);
    };
  }, [traces, source]);
  return (
    <canvas
      ref={canvas}
      className="trace-flag"
      data-kind={route.kind}
      data-empty="true"
      style={{ left: x - FLAG.width / 2, top: y - FLAG.height / 2, width: FLAG.width, height: FLAG.height }}
    />
  );
});

function splitName(name: string): readonly [string, string] {
  const dot = name.indexOf('.');
  return [name.slice(0, dot), name.slice(dot + 1)];
}
