/** "What moves this?" at an input or a setting; a press shows the answer below it, another one puts it away. */
import { type KeyboardEvent, useRef, useState } from 'react';
import type { MovesArgs } from '../../insight/moves/moves.ts';
import { MovesPanel } from './MovesPanel.tsx';

export function MovesButton({ title, at, side }: MovesArgs & { readonly title: string }) {
  const [open, setOpen] = useState(false);
  const button = useRef<HTMLButtonElement>(null);
  const keys = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape' || !open) return;
    event.stopPropagation();
    setOpen(false);
    button.current?.focus();
  };
  return (
    <fieldset className="moves-place" aria-label={`What moves ${title}`} onKeyDown={keys}>
      <button
        ref={button}
        type="button"
        className="moves-ask"
        aria-expanded={open}
        aria-label={`What moves ${title}?`}
        onClick={() => setOpen(!open)}
      >
        What moves this?
      </button>
      {open && <MovesPanel title={title} at={at} side={side} />}
    </fieldset>
  );
}
