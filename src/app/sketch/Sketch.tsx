/** The sketch: the patch as a drawing that can be edited. */
import { ReactFlowProvider } from '@xyflow/react';
import { useEffect, useMemo } from 'react';
import { useApp } from '../app.ts';
import { createDrawn } from './drawn.ts';
import { Paper } from './Paper.tsx';
import { createSketchStore, SketchContext, type SketchParts } from './sketchStore.ts';

export function Sketch() {
  const parts = useSketchSetUp();
  return (
    <SketchContext value={parts}>
      <ReactFlowProvider>
        <Paper />
      </ReactFlowProvider>
    </SketchContext>
  );
}

/** The sketch's stores, following the document. */
function useSketchSetUp(): SketchParts {
  const { session, catalogue, symbols } = useApp();
  const parts = useMemo(() => {
    const made = { sketch: createSketchStore(), drawn: createDrawn(catalogue, symbols) };
    made.drawn.show(session.getState().patch, made.sketch.getState().moved);
    return made;
  }, [session, catalogue, symbols]);
  useEffect(() => {
    const { sketch, drawn } = parts;
    const show = (): void => drawn.show(session.getState().patch, sketch.getState().moved);
    show();
    const stops = [
      session.subscribe((now, before) => now.patch !== before.patch && show()),
      sketch.subscribe((now, before) => now.moved !== before.moved && drawn.showSoon(session.getState().patch, now.moved)),
    ];
    return () => {
      for (const stop of stops) stop();
    };
  }, [session, parts]);
  return parts;
}
