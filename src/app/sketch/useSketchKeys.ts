/** The keyboard on the sketch. Every key also has a button or a menu entry. */
import { type RefObject, useEffect } from 'react';
import { GRID } from '../../sheet/drawing/geometry.ts';
import { useApp } from '../app.ts';
import type { Actions, Flow } from './actions.ts';
import { aimCabling } from './cabling.ts';
import { blockElement, focusPort, portOfElement } from './focus.ts';
import { nextPort } from './ports.ts';
import { useSketchParts } from './sketchStore.ts';

const FAR = 4;
const arrows: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-GRID, 0],
  ArrowRight: [GRID, 0],
  ArrowUp: [0, -GRID],
  ArrowDown: [0, GRID],
};

export function useSketchKeys(paper: RefObject<HTMLElement | null>, flow: Flow, actions: Actions): void {
  const { session, view } = useApp();
  const { sketch, drawn } = useSketchParts();

  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || isTyping(event.target)) return;
      const inSketch = holdsOrIsIn(document.activeElement, paper.current);
      if (command(event, inSketch) || (inSketch && (onPort(event) || onSketch(event))) || place(event)) event.preventDefault();
    };

    /** Placing a function by its name starts from anywhere on the page, also just after Listen was pressed. */
    function place(event: KeyboardEvent): boolean {
      if (event.ctrlKey || event.metaKey || event.altKey || (event.key !== '/' && event.key !== 'Insert')) return false;
      actions.openPalette();
      return true;
    }

    /** Keys with Ctrl (or Cmd), which work wherever no text is being typed. */
    function command(event: KeyboardEvent, inSketch: boolean): boolean {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return false;
      const key = event.key.toLowerCase();
      if (key === 'z' && !event.shiftKey) session.undo();
      else if ((key === 'z' && event.shiftKey) || (key === 'y' && !event.shiftKey)) session.redo();
      else if (key === 'a' && inSketch) session.selectAll();
      else if (key === 'd' && session.getState().selection.blocks.size > 0) actions.duplicate();
      else return false;
      return true;
    }

    /** Keys while a port has the focus. */
    function onPort(event: KeyboardEvent): boolean {
      const port = portOfElement(document.activeElement);
      if (!port) return false;
      const { cabling } = sketch.getState();
      if (event.key === 'Enter' || event.key === ' ') {
        actions.pick(port);
        return true;
      }
      if (event.key === 'Delete' || event.key === 'Backspace') {
        const plugged = port.side === 'input' && session.getState().patch.cables.some(({ to }) => to.join() === port.place.join());
        if (plugged) actions.unplug(port.place);
        return plugged;
      }
      if (event.key === 'Escape') {
        blockElement(port.place[0])?.focus();
        return true;
      }
      const side = cabling && (cabling.from.side === 'output' ? 'input' : 'output');
      const next = nextPort(drawn.getState().blocks, port, event.key, side);
      if (!next) return event.key in arrows;
      focusPort(next);
      if (cabling) sketch.setState({ cabling: aimCabling(cabling, undefined, next) });
      return true;
    }

    /** Keys while a block, the paper or nothing has the focus. */
    function onSketch(event: KeyboardEvent): boolean {
      if (event.ctrlKey || event.metaKey || event.altKey) return false;
      const focused = (document.activeElement as HTMLElement | null)?.closest<HTMLElement>('.react-flow__node')?.dataset.id;
      if (document.activeElement?.closest('.sketch-tools')) return false;
      const arrow = arrows[event.key];
      if (arrow) {
        const { selection } = session.getState();
        if (focused && !selection.blocks.has(focused)) session.select([focused]);
        const by = event.shiftKey ? FAR : 1;
        if (session.getState().selection.blocks.size > 0) actions.nudge([arrow[0] * by, arrow[1] * by]);
        else pan(arrow);
        return true;
      }
      switch (event.key) {
        case 'Enter':
        case ' ':
          if (!focused) return false;
          if (event.shiftKey || event.key === ' ') session.toggleSelected(focused);
          else {
            session.select([focused]);
            actions.settings();
          }
          return true;
        case 'Delete':
        case 'Backspace':
          actions.remove();
          return true;
        case 'F2':
          actions.rename(focused);
          return true;
        case 'Escape':
          return putAway();
        case '+':
        case '=':
          void flow.zoomIn();
          return true;
        case '-':
          void flow.zoomOut();
          return true;
        case '0':
          actions.fit();
          return true;
        default:
          return false;
      }
    }

    function putAway(): boolean {
      if (sketch.getState().cabling) {
        sketch.setState({ cabling: undefined });
        session.say('Cable put away.');
        return true;
      }
      const { selection } = session.getState();
      const something = selection.blocks.size > 0 || selection.cable !== undefined || view.getState().drawer !== undefined;
      session.clearSelection();
      view.setState({ drawer: undefined });
      // Else the key is left to whoever has something to put away.
      return something;
    }

    function pan([x, y]: readonly [number, number]): void {
      const { x: left, y: top, zoom } = flow.getViewport();
      void flow.setViewport({ x: left - x * 6, y: top - y * 6, zoom });
    }

    const onKeyUp = (event: KeyboardEvent): void => {
      if (event.key in arrows && session.getState().gesture === 'nudge') session.commitGesture();
    };

    // Escape must also work from a port; Tab order inside a block is the browser's.
    const onEscape = (event: KeyboardEvent): void => {
      if (event.key === 'Escape' && sketch.getState().cabling && !event.defaultPrevented && putAway()) event.preventDefault();
    };

    const onCopy = (event: ClipboardEvent): void => {
      if (!ours()) return;
      const text = actions.copyText();
      if (!text) return;
      event.clipboardData?.setData('text/plain', text);
      event.preventDefault();
      if (event.type === 'cut') actions.remove();
    };
    const onPaste = (event: ClipboardEvent): void => {
      const text = event.clipboardData?.getData('text/plain');
      if (!ours() || !text) return;
      event.preventDefault();
      actions.pasteText(text);
    };
    /** Is nothing else meant by copy and paste just now? */
    const ours = (): boolean => !isTyping(document.activeElement) && (getSelection()?.isCollapsed ?? true);

    /** The ports of the focused block come next in the Tab order; those of all others are left out of it. */
    const onFocus = (event: FocusEvent): void => {
      for (const port of paper.current?.querySelectorAll<HTMLElement>('.port[tabindex="0"]') ?? []) port.tabIndex = -1;
      const block = (event.target as Element).closest<HTMLElement>('.react-flow__node')?.dataset.id;
      for (const port of (block && blockElement(block)?.querySelectorAll<HTMLElement>('.port')) || []) port.tabIndex = 0;
    };

    const element = paper.current;
    window.addEventListener('keydown', onEscape, true);
    window.addEventListener('keydown', onKey);
    window.addEventListener('keyup', onKeyUp);
    document.addEventListener('copy', onCopy);
    document.addEventListener('cut', onCopy);
    document.addEventListener('paste', onPaste);
    element?.addEventListener('focusin', onFocus);
    return () => {
      window.removeEventListener('keydown', onEscape, true);
      window.removeEventListener('keydown', onKey);
      window.removeEventListener('keyup', onKeyUp);
      document.removeEventListener('copy', onCopy);
      document.removeEventListener('cut', onCopy);
      document.removeEventListener('paste', onPaste);
      element?.removeEventListener('focusin', onFocus);
    };
  }, [paper, flow, actions, session, view, sketch, drawn]);
}

/** Does the focus lie in the sketch, or on nothing smaller than the page around it? */
function holdsOrIsIn(focused: Element | null, paper: Element | null): boolean {
  return paper !== null && (focused === null || paper.contains(focused) || focused.contains(paper));
}

/** Is the key meant for a text field, a menu or a dialog? */
export function isTyping(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement &&
    (target.isContentEditable ||
      target.closest(
        'input:not([type="range"], [type="checkbox"], [type="radio"]), textarea, select, [role="menu"], [role="dialog"], [role="listbox"]',
      ) !== null)
  );
}
