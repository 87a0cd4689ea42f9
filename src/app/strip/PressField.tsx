/** A button to be pressed while it sounds: held down by pointer, Space or Enter. */
import { type KeyboardEvent, useEffect, useState } from 'react';
import { useApp, useListening } from '../app.ts';

export function PressField({ block, label }: { readonly block: string; readonly label: string }) {
  const { listening } = useApp();
  const on = useListening((state) => state.sound === 'on');
  const [down, setDown] = useState(false);
  const press = (to: boolean): void => {
    if (to === down) return;
    setDown(to);
    listening.press(block, to);
  };
  const keys = (to: boolean) => (event: KeyboardEvent) => {
    if (event.key !== ' ' && event.key !== 'Enter') return;
    event.preventDefault();
    press(to);
  };
  // Whoever goes away while holding it lets it go.
  useEffect(() => () => listening.press(block, false), [listening, block]);
  return (
    <button
      type="button"
      className="press"
      aria-pressed={down}
      disabled={!on}
      title={on ? `Press ${label}` : 'Press Listen first'}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        press(true);
      }}
      onPointerUp={() => press(false)}
      onPointerCancel={() => press(false)}
      onKeyDown={keys(true)}
      onKeyUp={keys(false)}
      onBlur={() => press(false)}
    >
      {on ? 'Press' : 'Press (listen first)'}
    </button>
  );
}
