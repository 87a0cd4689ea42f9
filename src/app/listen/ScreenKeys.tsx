/** Keys on the screen: a finger that slides plays one after the other, several fingers play together. */
import { type KeyboardEvent, type MouseEvent, type RefObject, useEffect, useRef, useState, useSyncExternalStore } from 'react';
import { useStore } from 'zustand';
import { noteName } from '../../patch/values/index.ts';
import { useApp, usePlaying, useView } from '../app.ts';
import { keySteps, lowestNote } from './keyboard.ts';
import type { KeyLetter } from './keyLetters.ts';
import type { Playing } from './playing.ts';

/** Keys from end to end: as many as the computer keys reach, or as a narrow screen has room for. */
const WIDE = 25;
const NARROW = 13;

/** How long a press without a pointer sounds. */
const TAP_MS = 350;

const SOFTEST = 0.35;

const isBlack = (note: number): boolean => [1, 3, 6, 8, 10].includes(note % 12);

export function ScreenKeys({ letter }: { readonly letter: KeyLetter }) {
  const { playing, keyboard } = useApp();
  const strip = useRef<HTMLDivElement>(null);
  const lowest = lowestNote(useStore(keyboard, (state) => state.octave));
  const held = usePlaying((state) => state.held);
  const keys = useView((state) => state.playKeys);
  const count = useNarrow() ? NARROW : WIDE;
  /** The one key that Tab reaches. */
  const [reached, setReached] = useState(0);
  usePointers(strip, playing);

  const notes = Array.from({ length: count }, (_, i) => lowest + i).filter((note) => note <= 127);
  const whites = notes.filter((note) => !isBlack(note));
  const current = Math.min(reached, notes.length - 1);

  const onKeyDown = (event: KeyboardEvent, i: number): void => {
    const note = lowest + i;
    if (event.key === 'ArrowRight' || event.key === 'ArrowLeft') {
      const next = Math.min(notes.length - 1, Math.max(0, i + (event.key === 'ArrowRight' ? 1 : -1)));
      setReached(next);
      strip.current?.querySelector<HTMLElement>(`[data-note="${lowest + next}"]`)?.focus();
    } else if (event.key === ' ' || event.key === 'Enter') {
      if (!event.repeat) playing.press('focus', note, 0.8);
    } else return;
    event.preventDefault();
  };
  const onKeyUp = (event: KeyboardEvent): void => {
    if (event.key === ' ' || event.key === 'Enter') playing.release('focus');
  };
  /** A press that came from neither pointer nor key: a screen reader's. */
  const onClick = (event: MouseEvent, note: number): void => {
    if (event.detail !== 0) return;
    playing.press('focus', note, 0.8);
    setTimeout(() => playing.release('focus'), TAP_MS);
  };

  return (
    <div ref={strip} className="screen-keys" role="toolbar" aria-label="Keys">
      {notes.map((note, i) => {
        const black = isBlack(note);
        const before = whites.filter((white) => white < note).length;
        const width = 100 / whites.length;
        const style = black
          ? { left: `${(before - 0.32) * width}%`, width: `${0.64 * width}%` }
          : { left: `${before * width}%`, width: `${width}%` };
        return (
          <button
            key={note}
            type="button"
            data-note={note}
            data-black={black}
            data-held={held.has(note)}
            className="screen-key"
            aria-label={noteName(note)}
            tabIndex={i === current ? 0 : -1}
            style={style}
            onKeyDown={(event) => onKeyDown(event, i)}
            onKeyUp={onKeyUp}
            onBlur={() => playing.release('focus')}
            onFocus={() => setReached(i)}
            onClick={(event) => onClick(event, note)}
          >
            {keys && count === WIDE ? <kbd>{letter(codes[i] ?? '')}</kbd> : note % 12 === 0 && !black && <span>{noteName(note)}</span>}
          </button>
        );
      })}
    </div>
  );
}

const codes: readonly string[] = Object.entries(keySteps)
  .sort(([, a], [, b]) => a - b)
  .map(([code]) => code);

/** Pointers press the key they are on; one that slides on lets the last one go. */
function usePointers(strip: RefObject<HTMLElement | null>, playing: Playing): void {
  useEffect(() => {
    const element = strip.current;
    if (!element) return;
    const down = new Set<number>();
    const source = (event: PointerEvent): string => `screen ${event.pointerId}`;

    const play = (event: PointerEvent): void => {
      const key = document.elementFromPoint(event.clientX, event.clientY)?.closest<HTMLElement>('.screen-key');
      if (!key || !element.contains(key)) {
        playing.release(source(event));
        return;
      }
      // Struck further down is louder, as a long lever is struck more easily.
      const { top, height } = key.getBoundingClientRect();
      const share = height > 0 ? Math.min(1, Math.max(0, (event.clientY - top) / height)) : 1;
      playing.press(source(event), Number(key.dataset.note), SOFTEST + (1 - SOFTEST) * share);
    };
    const onDown = (event: PointerEvent): void => {
      if (event.button !== 0) return;
      down.add(event.pointerId);
      element.setPointerCapture?.(event.pointerId);
      play(event);
    };
    const onMove = (event: PointerEvent): void => {
      if (down.has(event.pointerId)) play(event);
    };
    const onEnd = (event: PointerEvent): void => {
      down.delete(event.pointerId);
      playing.release(source(event));
    };
    element.addEventListener('pointerdown', onDown);
    element.addEventListener('pointermove', onMove);
    for (const end of ['pointerup', 'pointercancel', 'lostpointercapture'] as const) element.addEventListener(end, onEnd);
    return () => {
      element.removeEventListener('pointerdown', onDown);
      element.removeEventListener('pointermove', onMove);
      for (const end of ['pointerup', 'pointercancel', 'lostpointercapture'] as const) element.removeEventListener(end, onEnd);
      playing.releaseAll('screen ');
    };
  }, [strip, playing]);
}

const narrow = '(max-width: 760px)';

function useNarrow(): boolean {
  return useSyncExternalStore(
    (changed) => {
      const query = matchMedia(narrow);
      query.addEventListener('change', changed);
      return () => query.removeEventListener('change', changed);
    },
    () => matchMedia(narrow).matches,
  );
}
