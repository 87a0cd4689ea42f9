/**
 * Cables and labels by pointer: press a port and drag to another, or click one and then the other. Handled on the element around the
 * sketch, so that 2,000 ports need no listeners, and the port nearest to the finger is meant where areas overlap.
 */
import { type RefObject, useEffect } from 'react';
import { useApp } from '../app.ts';
import type { Actions, Flow } from './actions.ts';
import { aimCabling, type Cabling, fits, type PortRef, startCabling } from './cabling.ts';
import { portElement, portOfElement } from './focus.ts';
import { nearestPort } from './ports.ts';
import { useSketchParts } from './sketchStore.ts';

/** Pointer travel in CSS pixels after which a press is a drag. */
const SLOP = 5;
const REACH = { mouse: 16, pen: 20, touch: 26 } as const;

export function usePortGestures(paper: RefObject<HTMLElement | null>, flow: Flow, actions: Actions): void {
  const { session } = useApp();
  const { sketch, drawn } = useSketchParts();

  useEffect(() => {
    const element = paper.current;
    if (!element) return;
    let press:
      | { readonly id: number; readonly x: number; readonly y: number; readonly before: Cabling | undefined; dragging: boolean }
      | undefined;

    const pointOf = (event: PointerEvent): readonly [number, number] => {
      const { x, y } = flow.screenToFlowPosition({ x: event.clientX, y: event.clientY }, { snapToGrid: false });
      return [x, y];
    };
    const reachOf = (event: PointerEvent): number =>
      (REACH[event.pointerType as keyof typeof REACH] ?? REACH.mouse) / flow.getViewport().zoom;
    /** The element under the pointer names the block; which of its ports is meant, distance decides. On paper, the nearest within reach. */
    const portAt = (event: PointerEvent): PortRef | undefined => {
      const element = event.target as Element;
      const under = portOfElement(element.closest('.port'));
      if (!under && !element.closest('.react-flow__pane, .cable')) return undefined;
      if (!under) {
        // A finger beside a block moves the sketch; a mouse points well enough to mean a small port.
        const small = flow.getViewport().zoom < 1 && event.pointerType !== 'touch';
        return small ? nearestPort(drawn.getState().blocks, pointOf(event), reachOf(event))?.ref : undefined;
      }
      const side = sketch.getState().cabling?.from.side;
      const only = { block: under.place[0], ...(side && { side: side === 'input' ? ('output' as const) : ('input' as const) }) };
      return nearestPort(drawn.getState().blocks, pointOf(event), reachOf(event) * 1.5, only)?.ref ?? under;
    };
    /** The block under a pointer that is captured. */
    const blockUnder = (event: PointerEvent): string | undefined =>
      document.elementFromPoint?.(event.clientX, event.clientY)?.closest<HTMLElement>('.react-flow__node')?.dataset.id;
    const aim = (event: PointerEvent): void => {
      const { cabling } = sketch.getState();
      if (!cabling) return;
      const side = cabling.from.side === 'input' ? 'output' : 'input';
      const target = nearestPort(drawn.getState().blocks, pointOf(event), reachOf(event), { side });
      sketch.setState({ cabling: aimCabling(cabling, pointOf(event), target?.ref) });
    };

    const onDown = (event: PointerEvent): void => {
      if (press && event.pointerId !== press.id) {
        // A second finger: the sketch is being moved, not a cable.
        onCancel();
        return;
      }
      if (event.button !== 0) return;
      const { cabling } = sketch.getState();
      const port = portAt(event);
      if (!port) return;
      event.preventDefault();
      event.stopPropagation();
      portElement(port)?.focus({ preventScroll: true });
      press = { id: event.pointerId, x: event.clientX, y: event.clientY, before: cabling, dragging: false };
      if (cabling && fits(cabling, port)) sketch.setState({ cabling: aimCabling(cabling, pointOf(event), port) });
      else sketch.setState({ cabling: startCabling(port, 'click', session.getState().patch.cables) });
    };

    const onMove = (event: PointerEvent): void => {
      if (press && event.pointerId !== press.id) return;
      if (press && !press.dragging && Math.hypot(event.clientX - press.x, event.clientY - press.y) > SLOP) {
        press.dragging = true;
        element.setPointerCapture(event.pointerId);
        const { cabling } = sketch.getState();
        // A press that began a cable becomes a drag, which lifts the cable out of an occupied input.
        if (cabling && !press.before) sketch.setState({ cabling: startCabling(cabling.from, 'drag', session.getState().patch.cables) });
      }
      if (!press || press.dragging) aim(event);
    };

    const onUp = (event: PointerEvent): void => {
      const { cabling } = sketch.getState();
      if (!press || event.pointerId !== press.id) return;
      const { dragging, before } = press;
      press = undefined;
      if (!cabling) return;
      const block = dragging && !cabling.target ? blockUnder(event) : undefined;
      if (block) sketch.setState({ menu: { target: { kind: 'ends', block }, x: event.clientX, y: event.clientY } });
      else if (dragging || cabling.target) actions.finish(cabling);
      // The first click: the cable hangs on the pointer. A second click on the same port puts it away.
      else if (before && before.from.side === cabling.from.side && before.from.place.join() === cabling.from.place.join()) {
        sketch.setState({ cabling: undefined });
      }
    };

    const onCancel = (): void => {
      if (!press) return;
      press = undefined;
      sketch.setState({ cabling: undefined });
    };

    /** A click beside all ports puts the loose cable away; one on a cable selects it. */
    const onClick = (event: MouseEvent): void => {
      const under = event.target as Element;
      const port = portOfElement(under.closest('.port'));
      if (port) {
        // A click on a port is no click on its block. One without a pointer comes from a screen reader.
        event.stopPropagation();
        if (event.detail === 0) actions.pick(port);
        return;
      }
      if (sketch.getState().cabling?.how === 'click') sketch.setState({ cabling: undefined });
      const cable = under.closest<SVGElement>('.cable')?.dataset.cable;
      if (cable) session.selectCable(cable);
    };

    const onDoubleClick = (event: MouseEvent): void => {
      const block = (event.target as Element).closest('.block-label')?.closest<HTMLElement>('.react-flow__node')?.dataset.id;
      if (block) actions.rename(block);
    };

    element.addEventListener('pointerdown', onDown, true);
    element.addEventListener('pointermove', onMove);
    element.addEventListener('pointerup', onUp);
    element.addEventListener('pointercancel', onCancel);
    element.addEventListener('click', onClick);
    element.addEventListener('dblclick', onDoubleClick);
    return () => {
      element.removeEventListener('pointerdown', onDown, true);
      element.removeEventListener('pointermove', onMove);
      element.removeEventListener('pointerup', onUp);
      element.removeEventListener('pointercancel', onCancel);
      element.removeEventListener('click', onClick);
      element.removeEventListener('dblclick', onDoubleClick);
    };
  }, [paper, flow, actions, session, sketch, drawn]);
}
