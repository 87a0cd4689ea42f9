/** The canvas on which the little traces of all cables are painted. */
import { useStoreApi } from '@xyflow/react';
import { useEffect, useRef } from 'react';
import { useApp } from '../app.ts';
import { placeFlags } from './flags.ts';
import { useSketchParts } from './sketchStore.ts';
import { createTracePainter } from './tracePainter.ts';

export function TraceLayer() {
  const { traces } = useApp();
  const { drawn } = useSketchParts();
  const flow = useStoreApi();
  const ref = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const canvas = ref.current;
    if (!canvas) return;
    const painter = createTracePainter(canvas, traces);
    const follow = ([x, y, zoom]: readonly [number, number, number]): void => painter.setViewport({ x, y, zoom });
    const hang = (): void => painter.setFlags(placeFlags(drawn.getState()));
    const size = new ResizeObserver(() => painter.setSize(canvas.offsetWidth, canvas.offsetHeight));
    size.observe(canvas);
    follow(flow.getState().transform);
    hang();
    const stops = [
      flow.subscribe((now, before) => now.transform !== before.transform && follow(now.transform)),
      drawn.subscribe((now, before) => now.routes !== before.routes && hang()),
      () => size.disconnect(),
      painter.stop,
    ];
    return () => {
      for (const stop of stops) stop();
    };
  }, [traces, drawn, flow]);
  return <canvas ref={ref} className="trace-layer" />;
}
