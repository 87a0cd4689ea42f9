/** Playing the take: play and pause, and whether it is the one before the last edit or the one after it. */
import { useId } from 'react';
import { useApp, useHeard, useTakePlayer } from '../app.ts';
import { Icon } from '../Icon.tsx';
import './takePlayer.css';

/** With words, or with its drawing alone where there is no room. */
export function PlayTake({ words = false }: { readonly words?: boolean }) {
  const { takePlayer } = useApp();
  const playing = useTakePlayer((state) => state.playing);
  const ready = useHeard((state) => state.after !== undefined);
  const name = playing ? 'Pause the take' : 'Play the take';
  return (
    <button
      type="button"
      className={words ? 'take-play bordered' : 'take-play'}
      data-playing={playing}
      disabled={!ready && !playing}
      title={`${name} (Shift P)`}
      {...(!words && { 'aria-label': name })}
      onClick={() => takePlayer.toggle()}
    >
      <Icon name={playing ? 'pause' : 'play'} />
      {words && name}
    </button>
  );
}

/** Not there until there is something to compare. */
export function HeardSwitch({ always = false }: { readonly always?: boolean }) {
  const { takePlayer } = useApp();
  const heard = useTakePlayer((state) => state.heard);
  const there = useHeard((state) => state.before !== undefined);
  const group = useId();
  if (!there && !always) return null;
  return (
    <fieldset
      className="heard-switch"
      title={there ? 'Which take is heard (Shift B)' : 'The take before the last edit is kept: after an edit it can be heard here'}
    >
      <legend className="unseen">Which take is heard</legend>
      {(['before', 'after'] as const).map((which) => (
        <label key={which} data-chosen={heard === which}>
          <input type="radio" name={group} disabled={!there} checked={heard === which} onChange={() => takePlayer.hear(which)} />
          {which === 'before' ? 'Before' : 'After'}
        </label>
      ))}
    </fieldset>
  );
}
