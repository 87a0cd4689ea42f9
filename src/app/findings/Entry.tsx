/** One finding: its sentence leads to its block; behind "More" stands how to mend it and the way to silence it. */
import { useId, useState } from 'react';
import { ruleOf } from '../../insight/checks/index.ts';
import type { Finding } from '../../insight/finding.ts';
import { mend } from '../../patch/commands/index.ts';
import { useApp } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { SeverityMark } from './SeverityMark.tsx';

interface EntryProps {
  readonly finding: Finding;
  /** Without it the finding cannot be silenced: answers to questions. */
  readonly onSilence?: (note: string) => void;
}

export function Entry({ finding, onSilence }: EntryProps) {
  const [isOpen, setOpen] = useState(false);
  const id = useId();
  const rule = ruleOf(finding.id);
  const hasMore = onSilence !== undefined || rule !== undefined;
  return (
    <>
      <div className="finding-line">
        <Sentence finding={finding} />
        {hasMore && (
          <button
            type="button"
            className="finding-more"
            aria-label={`More about: ${finding.say}`}
            title="How to mend it, or silence it"
            aria-expanded={isOpen}
            aria-controls={id}
            onClick={() => setOpen(!isOpen)}
          >
            <Icon name="more" />
          </button>
        )}
      </div>
      {finding.fix && <Mend finding={finding} />}
      <div id={id} hidden={!isOpen} className="finding-about">
        {isOpen && rule && (
          <p className="small">
            {rule.howToFix} <span className="soft">{rule.kind === 'take' ? 'Seen in the take.' : 'Seen in the drawing.'}</span>
          </p>
        )}
        {isOpen && onSilence && <SilenceForm onSilence={onSilence} />}
      </div>
    </>
  );
}

export function Sentence({ finding: { block, severity, say } }: { readonly finding: Finding }) {
  const { sketch, view } = useApp();
  const words = (
    <>
      <SeverityMark severity={severity} />
      <span>{say}</span>
    </>
  );
  if (block === undefined) return <p className="finding">{words}</p>;
  return (
    <button
      type="button"
      className="finding"
      title="Show the block"
      onClick={() => {
        view.setState({ page: 'sketch', drawer: undefined });
        sketch.current?.reveal([block]);
      }}
    >
      {words}
    </button>
  );
}

function Mend({ finding: { fix } }: { readonly finding: Finding }) {
  const { session, catalogue } = useApp();
  if (!fix) return null;
  return (
    <button type="button" className="finding-mend" onClick={() => session.run(mend(session.getState().patch, catalogue, fix))}>
      {fix.label}
    </button>
  );
}

function SilenceForm({ onSilence }: { readonly onSilence: (note: string) => void }) {
  const [note, setNote] = useState('');
  return (
    <form
      className="finding-silence"
      onSubmit={(event) => {
        event.preventDefault();
        onSilence(note.trim());
      }}
    >
      <label className="field">
        <span>Why it may stay so (kept in this notebook)</span>
        <input value={note} maxLength={200} onChange={(event) => setNote(event.target.value)} />
      </label>
      <button type="submit">Silence it</button>
    </form>
  );
}
