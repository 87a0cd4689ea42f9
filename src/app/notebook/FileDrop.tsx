/** Patch files may be dropped anywhere on the page, but for fields that take files of their own (`data-takes-files`). */
import { useEffect, useState } from 'react';
import { useApp } from '../app.ts';
import { bringIn } from './patchFiles.ts';

export function FileDrop() {
  const app = useApp();
  const [over, setOver] = useState(false);
  useEffect(() => {
    const files = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;
    const elsewhere = ({ target }: DragEvent): boolean => target instanceof Element && target.closest('[data-takes-files]') !== null;
    const onOver = (event: DragEvent): void => {
      if (!files(event)) return;
      if (elsewhere(event)) {
        setOver(false);
        return;
      }
      event.preventDefault();
      if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy';
      setOver(true);
    };
    // Leaving one element for another is also a "leave"; out of the window nothing is entered.
    const onLeave = (event: DragEvent): void => {
      if (event.relatedTarget === null) setOver(false);
    };
    const onDrop = (event: DragEvent): void => {
      setOver(false);
      if (!files(event) || elsewhere(event)) return;
      event.preventDefault();
      void bringIn(app, [...(event.dataTransfer?.files ?? [])]);
    };
    window.addEventListener('dragover', onOver);
    window.addEventListener('dragleave', onLeave);
    window.addEventListener('drop', onDrop);
    return () => {
      window.removeEventListener('dragover', onOver);
      window.removeEventListener('dragleave', onLeave);
      window.removeEventListener('drop', onDrop);
    };
  }, [app]);
  return over ? (
    <div className="file-drop">
      <p>Let go to put the patch files into the notebook</p>
    </div>
  ) : null;
}
