/** Shown with the first sound in this browser: levels, headphones, loudspeakers. It never stands in the way of Stop. */
import { useEffect, useState } from 'react';
import { useListening, useTakePlayer } from '../app.ts';

const KEY = 'signal-sketchbook/safety-note-read';

function alreadyRead(): boolean {
  try {
    return localStorage.getItem(KEY) === 'yes';
  } catch {
    return false;
  }
}

export function SafetyNote() {
  const live = useListening((state) => state.sound === 'on');
  const playing = useTakePlayer((state) => state.playing);
  const [shown, setShown] = useState(false);
  useEffect(() => {
    if ((live || playing) && !alreadyRead()) setShown(true);
  }, [live, playing]);
  if (!shown) return null;
  const read = (): void => {
    setShown(false);
    try {
      localStorage.setItem(KEY, 'yes');
    } catch {
      // Then the note comes again next time, which does no harm.
    }
  };
  return (
    <aside className="safety" role="note" aria-label="Before you turn it up">
      <p>
        <strong>Before you turn it up.</strong> Patches can become loud at once. Start with the volume low, take headphones off while you
        patch, and rest your ears: the limits of safe listening (WHO, ITU-T H.870) are 80 dBA for 40 hours a week, half the time for every 3
        dB more. A ceiling at -1 dBTP is on; it cannot know how loud your loudspeakers play.
      </p>
      <button type="button" className="bordered" onClick={read}>
        Understood
      </button>
    </aside>
  );
}
