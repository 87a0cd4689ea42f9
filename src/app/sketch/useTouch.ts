/** Fingers on the sketch. */
import { type RefObject, useEffect, useState } from 'react';

/** Is the sketch being touched? Then a drag on the paper moves it, instead of drawing a selection. */
export function useTouch(paper: RefObject<HTMLElement | null>): boolean {
  const [touch, setTouch] = useState(() => matchMedia('(pointer: coarse)').matches);
  useEffect(() => {
    const element = paper.current;
    if (!element) return;
    const onPointer = (event: PointerEvent): void => setTouch(event.pointerType === 'touch');
    element.addEventListener('pointerdown', onPointer, true);
    element.addEventListener('pointerover', onPointer, true);
    element.addEventListener('touchend', tellCanvas, true);
    return () => {
      element.removeEventListener('pointerdown', onPointer, true);
      element.removeEventListener('pointerover', onPointer, true);
      element.removeEventListener('touchend', tellCanvas, true);
    };
  }, [paper]);
  return touch;
}

/**
 * A block keeps the end of its own touch to itself, so that after a pinch with one finger on a block the canvas would believe
 * that finger to be down still, and would jump at the next touch. So the canvas is told of every finger that leaves.
 */
function tellCanvas(event: TouchEvent): void {
  const canvas = (event.target as Element).closest('.react-flow')?.querySelector('.react-flow__renderer');
  const changedTouches = [...event.changedTouches];
  // After this event has taken its course; where the canvas knows already, this does nothing.
  if (canvas) setTimeout(() => canvas.dispatchEvent(new TouchEvent('touchcancel', { changedTouches })));
}
