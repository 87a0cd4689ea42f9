/** A slim bar under the sketch while the patch has a keyboard and sounds: keys for finger and mouse, octave, computer keys, MIDI. */
import { useEffect, useState } from 'react';
import { useStore } from 'zustand';
import { noteName } from '../../patch/values/index.ts';
import { useApp, useListening, usePlaying, useView } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { lowestNote, OCTAVES } from './keyboard.ts';
import { type KeyLetter, readLetters, usualLetter } from './keyLetters.ts';
import { ScreenKeys } from './ScreenKeys.tsx';
import './keyBar.css';

export function KeyBar() {
  const playable = usePlaying((state) => state.playable);
  const on = useListening((state) => state.sound === 'on');
  const letter = useLetters();
  if (!playable || !on) return null;
  return (
    <section className="key-bar" aria-label="Keyboard">
      <Octave letter={letter} />
      <ScreenKeys letter={letter} />
      <Ways />
    </section>
  );
}

function useLetters(): KeyLetter {
  const [letter, setLetter] = useState<KeyLetter>(() => usualLetter);
  useEffect(() => {
    let here = true;
    void readLetters(navigator).then((found) => here && setLetter(() => found));
    return () => {
      here = false;
    };
  }, []);
  return letter;
}

function Octave({ letter }: { readonly letter: KeyLetter }) {
  const { keyboard } = useApp();
  const octave = useStore(keyboard, (state) => state.octave);
  const keys = useView((view) => view.playKeys);
  const hint = (code: string): string => (keys ? ` (key ${letter(code)})` : '');
  return (
    <fieldset className="key-octave">
      <legend className="unseen">Octave</legend>
      <button
        type="button"
        aria-label="An octave down"
        title={`An octave down${hint('Comma')}`}
        disabled={octave === OCTAVES.lowest}
        onClick={() => keyboard.setOctave(octave - 1)}
      >
        <Icon name="farther" />
      </button>
      <output className="value" aria-label="Lowest key">
        {noteName(lowestNote(octave))}
      </output>
      <button
        type="button"
        aria-label="An octave up"
        title={`An octave up${hint('Period')}`}
        disabled={octave === OCTAVES.highest}
        onClick={() => keyboard.setOctave(octave + 1)}
      >
        <Icon name="nearer" />
      </button>
    </fieldset>
  );
}

/** Other hands than the mouse: the computer's keys and MIDI. */
function Ways() {
  const { view } = useApp();
  const keys = useView((state) => state.playKeys);
  return (
    <div className="key-ways">
      <label className="keys-only" title="The letter keys play two octaves, except while you type">
        <input type="checkbox" checked={keys} onChange={(event) => view.setState({ playKeys: event.target.checked })} /> Play with keys
      </label>
      <MidiWay />
    </div>
  );
}

function MidiWay() {
  const { midi } = useApp();
  const { status, devices } = useStore(midi);
  if (status === 'ready') {
    const names = devices.join(', ');
    return (
      <span className="key-midi small" title={names}>
        {names || 'MIDI is on, no keyboard yet'}
      </span>
    );
  }
  if (status === 'missing') return <span className="key-midi small soft">This browser has no MIDI</span>;
  return (
    <button type="button" className="bordered" disabled={status === 'asking'} onClick={() => void midi.ask()}>
      {status === 'refused' ? 'Try MIDI again' : 'Use a MIDI keyboard'}
    </button>
  );
}
