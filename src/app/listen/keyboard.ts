/**
 * The computer keyboard as a keyboard: two octaves over the letter rows, by the place of the keys, whatever is printed on
 * them. White keys lie on the lower and on the upper letter row, black ones on the row above each.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { ViewStore } from '../store/view.ts';
import type { Playing } from './playing.ts';

/** Semitones above the lowest note, by `KeyboardEvent.code`. */
export const keySteps: Readonly<Record<string, number>> = {
  KeyZ: 0,
  KeyS: 1,
  KeyX: 2,
  KeyD: 3,
  KeyC: 4,
  KeyV: 5,
  KeyG: 6,
  KeyB: 7,
  KeyH: 8,
  KeyN: 9,
  KeyJ: 10,
  KeyM: 11,
  KeyQ: 12,
  Digit2: 13,
  KeyW: 14,
  Digit3: 15,
  KeyE: 16,
  KeyR: 17,
  Digit5: 18,
  KeyT: 19,
  Digit6: 20,
  KeyY: 21,
  Digit7: 22,
  KeyU: 23,
  KeyI: 24,
};

/** Beside the lower row's last key. */
const OCTAVE_DOWN = 'Comma';
const OCTAVE_UP = 'Period';

export const OCTAVES = { lowest: 0, highest: 7, usual: 3 } as const;

/** Velocity of keys that do not tell how hard they were struck; the same as of score notes without one. */
const VELOCITY = 0.8;

export interface KeyboardState {
  /** Octave of the lowest key: 3 begins at C3, note number 48. */
  readonly octave: number;
}

export interface Keyboard extends StoreApi<KeyboardState> {
  setOctave(octave: number): void;
  /** Listens to the page's keys. Returns the way to stop. */
  attach(page: Window): () => void;
}

export interface KeyboardParts {
  readonly playing: Playing;
  readonly view: ViewStore;
  /** Is the key meant for a text field, a menu or a dialog? */
  readonly isTyping: (target: EventTarget | null) => boolean;
}

/** Note number of the lowest key. */
export function lowestNote(octave: number): number {
  return 12 * (octave + 1);
}

export function createKeyboard({ playing, view, isTyping }: KeyboardParts): Keyboard {
  const store = createStore<KeyboardState>()(() => ({ octave: OCTAVES.usual }));
  const setOctave = (octave: number): void =>
    store.setState({ octave: Math.min(OCTAVES.highest, Math.max(OCTAVES.lowest, Math.round(octave))) });

  const onDown = (event: KeyboardEvent): void => {
    if (!view.getState().playKeys || !playing.getState().playable) return;
    if (event.defaultPrevented || event.isComposing || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    if (isTyping(event.target)) return;
    const { octave } = store.getState();
    const step = keySteps[event.code];
    if (step !== undefined) {
      if (!event.repeat) playing.press(`keys ${event.code}`, lowestNote(octave) + step, VELOCITY);
    } else if (event.code === OCTAVE_DOWN) setOctave(octave - 1);
    else if (event.code === OCTAVE_UP) setOctave(octave + 1);
    else return;
    // On some layouts these keys also mean something to the sketch, which leaves alone what is already taken.
    event.preventDefault();
  };
  // Also when the focus has meanwhile gone to a field: no note may hang.
  const onUp = (event: KeyboardEvent): void => playing.release(`keys ${event.code}`);

  view.subscribe((now, before) => {
    if (before.playKeys && !now.playKeys) playing.releaseAll('keys ');
  });

  return Object.assign(store, {
    setOctave,
    attach(page: Window) {
      const silence = (): void => playing.releaseAll();
      const onVisibility = (): void => {
        if (page.document.visibilityState === 'hidden') silence();
      };
      page.addEventListener('keydown', onDown, true);
      page.addEventListener('keyup', onUp, true);
      page.addEventListener('blur', silence);
      page.document.addEventListener('visibilitychange', onVisibility);
      return () => {
        page.removeEventListener('keydown', onDown, true);
        page.removeEventListener('keyup', onUp, true);
        page.removeEventListener('blur', silence);
        page.document.removeEventListener('visibilitychange', onVisibility);
        silence();
      };
    },
  });
}
