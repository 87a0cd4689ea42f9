/** Why nothing can be heard, in one sentence over the sketch; a press leads to the block, another mends it. */
import { useState } from 'react';
import type { Finding } from '../../insight/finding.ts';
import { mend } from '../../patch/commands/index.ts';
import { useApp, useChecks, useListening, useSession, useSilence } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { SeverityMark } from './SeverityMark.tsx';
import './findings.css';

export function SilenceNote() {
  const drawn = useChecks((state) => state.silence);
  const answer = useSilence((state) => state.answer);
  const asking = useSilence((state) => state.asking);
  const opened = useSession((state) => state.opened.count);
  const isLive = useListening((state) => state.sound === 'on');
  /** Put away until the reason is another one. */
  const [away, setAway] = useState('');
  const finding = answer ? answer.findings[0] : drawn;
  // What only a take lacks (a hand, notes, a microphone) is no matter while somebody plays.
  const shown = finding && !(isLive && finding.severity === 'hint') ? finding : undefined;
  const key = `${opened} ${shown?.id} ${shown?.block}`;
  const more = answer && shown ? answer.findings.length - 1 : 0;
  return (
    <div className="silence-place" role="status">
      {shown && key !== away && (
        <div className="silence">
          <Reason finding={shown} />
          {shown.fix && <Mend finding={shown} tried={answer?.tried === true} more={more} />}
          <button type="button" className="silence-away" aria-label="Put the note away" onClick={() => setAway(key)}>
            <Icon name="close" />
          </button>
        </div>
      )}
      {!shown && asking && <p className="silence silence-asking">The take is silent. Looking for the reason...</p>}
    </div>
  );
}

function Reason({ finding: { severity, block, say } }: { readonly finding: Finding }) {
  const { sketch } = useApp();
  const words = (
    <>
      <SeverityMark severity={severity} />
      <span>{silenceText(say)}</span>
    </>
  );
  if (block === undefined) return <p>{words}</p>;
  return (
    <button type="button" title="Show the block" onClick={() => sketch.current?.reveal([block])}>
      {words}
    </button>
  );
}

/** The edit as a button; what it leads to stands below it, where it was tried. */
function Mend({ finding: { fix }, tried, more }: { readonly finding: Finding; readonly tried: boolean; readonly more: number }) {
  const { session, catalogue } = useApp();
  if (!fix) return null;
  return (
    <div className="silence-mend">
      <button
        type="button"
        onClick={() => {
          if (session.run(mend(session.getState().patch, catalogue, fix))) session.say(`${fix.label}: done. The take is rendered again.`);
        }}
      >
        {fix.label}
      </button>
      {tried && (
        <span className="soft small">{more > 0 ? `Tried: it sounds after this and ${more} more.` : 'Tried: it sounds with this.'}</span>
      )}
    </div>
  );
}

/** The sentence, headed by what it is about where it does not say so itself. */
export function silenceText(say: string): string {
  return /\b(silent|heard|silence)\b/i.test(say) ? say : `Silent: ${say.replace(/^Nothing/, 'nothing')}`;
}
