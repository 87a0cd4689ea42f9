/** Is the sketch being touched? Then a drag on the paper moves it, instead of drawing a selection. */
import { type RefObject, useEffect, useState } from 'react';

export function useTouch(paper: RefObject<HTMLElement | null>): boolean {
  const [touch, setTouch] = useState(() => matchMedia('(pointer: coarse)').matches);
  useEffect(() => {
    const onPointer = (event: PointerEvent): void => setTouch(event.pointerType === 'touch');
    const element = paper.current;
    element?.addEventListener('pointerdown', onPointer, true);
    element?.addEventListener('pointerover', onPointer, true);
    return () => {
      element?.removeEventListener('pointerdown', onPointer, true);
      element?.removeEventListener('pointerover', onPointer, true);
    };
  }, [paper]);
  return touch;
}
