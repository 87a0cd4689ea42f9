/** Why is it so...? Four questions about what is heard; an answer is a measured figure and what is likely behind it. */
import { useEffect } from 'react';
import { type Complaint, complaints } from '../../insight/reasons/index.ts';
import { useApp, useReasons } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { nothingHighlighted } from '../store/highlight.ts';
import { Entry } from './Entry.tsx';

const order: readonly Complaint[] = ['loud', 'distorted', 'outOfTune', 'offBeat'];

export function Questions() {
  const { reasons, highlight } = useApp();
  const complaint = useReasons((state) => state.complaint);
  const asking = useReasons((state) => state.asking);
  const answer = useReasons((state) => state.answer);
  const trouble = useReasons((state) => state.trouble);
  useEffect(() => {
    const blocks = new Set((answer?.findings ?? []).flatMap(({ block }) => block ?? []));
    if (blocks.size === 0) return;
    highlight.setState({ blocks, cables: new Map() });
    return () => highlight.setState(nothingHighlighted);
  }, [highlight, answer]);
  return (
    <div className="questions">
      <h3>Ask the take</h3>
      <div className="questions-row">
        {order.map((each) => (
          <button key={each} type="button" aria-pressed={each === complaint} onClick={() => void reasons.ask(each)}>
            {complaints[each]}
          </button>
        ))}
      </div>
      <div aria-live="polite">
        {asking && <p className="soft">Listening to the take...</p>}
        {(answer || trouble) && (
          <div className="questions-answer">
            <p>{answer?.say ?? trouble}</p>
            <button type="button" aria-label="Put the answer away" onClick={reasons.putAway}>
              <Icon name="close" />
            </button>
          </div>
        )}
      </div>
      {answer && answer.findings.length > 0 && (
        <ol>
          {answer.findings.map((finding) => (
            <li key={`${finding.id} ${finding.block ?? ''} ${finding.place?.[1] ?? ''}`}>
              <Entry finding={finding} />
            </li>
          ))}
        </ol>
      )}
    </div>
  );
}
