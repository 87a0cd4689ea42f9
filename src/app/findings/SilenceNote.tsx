/** Why nothing can be heard, in one sentence over the sketch; a press leads to the block. */
import { useState } from 'react';
import { useApp, useChecks, useSession } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { SeverityMark } from './SeverityMark.tsx';
import './findings.css';

export function SilenceNote() {
  const { sketch } = useApp();
  const silence = useChecks((state) => state.silence);
  const opened = useSession((state) => state.opened.count);
  /** Put away until the reason is another one. */
  const [away, setAway] = useState('');
  const key = `${opened} ${silence?.id} ${silence?.block}`;
  const { block } = silence ?? {};
  return (
    <div className="silence-place" role="status">
      {silence && key !== away && (
        <div className="silence">
          {block === undefined ? (
            <p>
              <SeverityMark severity={silence.severity} />
              <span>{silenceText(silence.say)}</span>
            </p>
          ) : (
            <button type="button" title="Show the block" onClick={() => sketch.current?.reveal([block])}>
              <SeverityMark severity={silence.severity} />
              <span>{silenceText(silence.say)}</span>
            </button>
          )}
          <button type="button" className="silence-away" aria-label="Put the note away" onClick={() => setAway(key)}>
            <Icon name="close" />
          </button>
        </div>
      )}
    </div>
  );
}

/** The sentence, headed by what it is about where it does not say so itself. */
export function silenceText(say: string): string {
  return /\b(silent|heard|silence)\b/i.test(say) ? say : `Silent: ${say.replace(/^Nothing/, 'nothing')}`;
}
