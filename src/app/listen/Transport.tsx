/** Listening to the patch: live sound, its level, and the take. */
import { useApp, useListening } from '../app.ts';
import { PlayTake } from '../takePlayer/TakeControls.tsx';
import { Meter } from './Meter.tsx';
import './listen.css';
import { SafetyNote } from './SafetyNote.tsx';
import { TakeMenu } from './TakeMenu.tsx';

export function Transport() {
  const { listening } = useApp();
  const sound = useListening((state) => state.sound);
  const volume = useListening((state) => state.volume);
  const on = sound === 'on';
  return (
    <section className="listen" aria-label="Listen">
      <button
        type="button"
        className="listen-play"
        aria-pressed={on}
        disabled={sound === 'starting'}
        onClick={() => void (on ? listening.stop() : listening.listen())}
      >
        <svg className="icon" viewBox="0 0 16 16" aria-hidden="true">
          <path className="filled" d={on ? 'M3 3 H13 V13 H3 Z' : 'M3 2 L14 8 L3 14 Z'} />
        </svg>
        {on ? 'Stop' : 'Listen'}
      </button>
      <label className="listen-volume">
        <span>Volume</span>
        <input
          type="range"
          aria-label="Volume"
          min={0}
          max={1}
          step={0.01}
          value={volume}
          aria-valuetext={`${Math.round(volume * 100)} percent`}
          onChange={(event) => listening.setVolume(Number(event.target.value))}
        />
      </label>
      <Meter />
      <PlayTake />
      <TakeMenu />
      <SafetyNote />
    </section>
  );
}
