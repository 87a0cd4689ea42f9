/** Lets the list of functions and other parts of the page reach the sketch. */
import { type RefObject, useEffect } from 'react';
import { bounds, type Point, snap } from '../../sheet/drawing/geometry.ts';
import { useApp } from '../app.ts';
import { type Actions, calm, type Flow } from './actions.ts';
import { focusBlock } from './focus.ts';
import { useSketchParts } from './sketchStore.ts';
import { cableAt } from './useBlockDrag.ts';

export function useSketchHandle(paper: RefObject<HTMLElement | null>, flow: Flow, actions: Actions): void {
  const app = useApp();
  const { sketch, drawn } = useSketchParts();
  useEffect(() => {
    const pointAt = (x: number, y: number): Point | undefined => {
      const under = document.elementFromPoint(x, y);
      if (!under || !paper.current?.contains(under)) return undefined;
      const spot = flow.screenToFlowPosition({ x, y }, { snapToGrid: false });
      return snap([spot.x, spot.y]);
    };
    const cableFor = (type: string, at: Point): string | undefined => {
      const spec = app.catalogue.get(type);
      return spec && spec.inputs.length > 0 && spec.outputs.length > 0 ? cableAt(drawn.getState().routes, at) : undefined;
    };
    const handle: NonNullable<typeof app.sketch.current> = {
      place: (type) => actions.place(type),
      dragOver(type, x, y) {
        const at = pointAt(x, y);
        sketch.setState({ ghost: at && { type, at }, into: at && cableFor(type, at) });
        return at !== undefined;
      },
      drop(type, x, y) {
        const at = pointAt(x, y);
        handle.dragCancel();
        if (!at) return;
        const into = cableFor(type, at);
        const id = into ? actions.placeInto(type, into, at) : actions.place(type, at);
        if (id) focusBlock(id);
      },
      dragCancel: () => sketch.setState({ ghost: undefined, into: undefined }),
      reveal(ids) {
        const { blocks } = drawn.getState();
        const all = bounds(ids.flatMap((id) => blocks.get(id)?.box ?? []));
        if (!all) return;
        app.session.select(ids);
        const zoom = Math.max(0.6, flow.getViewport().zoom);
        void flow.setCenter(all.x + all.width / 2, all.y + all.height / 2, { zoom, duration: calm() ? 0 : 250 });
        const [first] = ids;
        if (first) focusBlock(first);
      },
      show(ids) {
        const { blocks } = drawn.getState();
        const all = bounds(ids.flatMap((id) => blocks.get(id)?.box ?? []));
        const room = paper.current?.getBoundingClientRect();
        if (!all || !room) return;
        // As near as it is now, or so far away that all of them are to be seen.
        const whole = Math.min(room.width / (all.width + 80), room.height / (all.height + 80));
        const zoom = Math.max(0.2, Math.min(flow.getViewport().zoom, whole));
        void flow.setCenter(all.x + all.width / 2, all.y + all.height / 2, { zoom, duration: calm() ? 0 : 250 });
      },
      fit: () => actions.fit(),
    };
    app.sketch.current = handle;
    return () => {
      if (app.sketch.current === handle) app.sketch.current = undefined;
    };
  }, [app, paper, flow, actions, sketch, drawn]);
}
