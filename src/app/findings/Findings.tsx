/** What the patch checks found, as a list; each entry leads to its block. Below it what is silenced, and all that is looked for. */
import { useState } from 'react';
import { rules } from '../../insight/checks/index.ts';
import type { Finding, Severity } from '../../insight/finding.ts';
import { useApp, useChecks, useSession, useTakeChecks } from '../app.ts';
import { Entry, Sentence } from './Entry.tsx';
import { Questions } from './Questions.tsx';
import { SeverityMark } from './SeverityMark.tsx';
import './findings.css';

/** Findings that are shown before hints are folded away. */
const SHOWN = 6;

export function Findings() {
  const { notebook, session } = useApp();
  const found = useChecks((state) => state.findings);
  const empty = useSession((state) => state.patch.blocks.length === 0);
  const looking = useTakeChecks((state) => state.looking);
  const heard = useTakeChecks((state) => state.findings !== undefined);
  const kept = useSession((state) => state.opened.id !== undefined);
  const silence = ({ id, block }: Finding, note: string): void => {
    notebook.silence({ rule: id, ...(block !== undefined && { block }), ...(note && { note }) });
    session.say('Silenced in this patch.');
  };
  // errors and warnings all, hints as many as fit beside them
  const graver = found.filter(({ severity }) => severity !== 'hint').length;
  const shown = found.length <= SHOWN + 2 ? found.length : Math.max(SHOWN, graver);
  const rest = found.slice(shown);
  const entry = (finding: Finding) => (
    <li key={`${finding.id} ${finding.block ?? ''} ${finding.place?.[1] ?? ''}`}>
      <Entry finding={finding} {...(kept && { onSilence: (note: string) => silence(finding, note) })} />
    </li>
  );
  return (
    <section className="findings" aria-label="Findings">
      <h2>Findings {found.length > 0 && <span className="soft small">{counted(found)}</span>}</h2>
      {found.length === 0 ? (
        <p className="soft">{empty ? 'The patch is checked as soon as it has blocks.' : nothingAmiss(heard)}</p>
      ) : (
        <>
          <ul>{found.slice(0, shown).map(entry)}</ul>
          {rest.length > 0 && (
            <details className="findings-fold">
              <summary>{rest.length} more hints</summary>
              <ul>{rest.map(entry)}</ul>
            </details>
          )}
        </>
      )}
      {looking && <p className="soft small">Looking at the take...</p>}
      <SilencedOnes />
      {!empty && <Questions />}
      <LookedFor />
    </section>
  );
}

function nothingAmiss(heard: boolean): string {
  return heard ? 'Nothing is amiss in the drawing, nor in the take.' : 'Nothing is amiss in the drawing.';
}

function SilencedOnes() {
  const { notebook } = useApp();
  const silenced = useChecks((state) => state.silenced);
  if (silenced.length === 0) return null;
  return (
    <details className="findings-fold">
      <summary>{silenced.length} silenced</summary>
      <ul>
        {silenced.map(({ finding, note }) => (
          <li key={`${finding.id} ${finding.block ?? ''} ${finding.place?.[1] ?? ''}`}>
            <div className="finding-line">
              <Sentence finding={finding} />
              <button
                type="button"
                aria-label={`Bring back: ${finding.say}`}
                onClick={() => notebook.bringBack({ rule: finding.id, ...(finding.block !== undefined && { block: finding.block }) })}
              >
                Bring back
              </button>
            </div>
            {note && <p className="finding-note soft small">Note: {note}</p>}
          </li>
        ))}
      </ul>
    </details>
  );
}

/** The whole list, for whoever wants to know what the checks can see. */
function LookedFor() {
  const [isOpen, setOpen] = useState(false);
  return (
    <details className="findings-fold" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>All {rules.length} things that are looked for</summary>
      <ul>
        {(isOpen ? rules : []).map(({ id, severity, kind, about, howToFix }) => (
          <li key={id} className="finding small">
            <SeverityMark severity={severity} />
            <span>
              {about} <span className="soft">{howToFix}</span>{' '}
              <span className="soft">({kind === 'take' ? 'In the take.' : 'In the drawing.'})</span>
            </span>
          </li>
        ))}
      </ul>
    </details>
  );
}

const names: Readonly<Record<Severity, readonly [string, string]>> = {
  error: ['error', 'errors'],
  warning: ['warning', 'warnings'],
  hint: ['hint', 'hints'],
};

/** "1 error, 2 hints" */
export function counted(found: readonly Finding[]): string {
  const severities: readonly Severity[] = ['error', 'warning', 'hint'];
  return severities
    .flatMap((severity) => {
      const count = found.filter((finding) => finding.severity === severity).length;
      return count === 0 ? [] : [`${count} ${names[severity][count === 1 ? 0 : 1]}`];
    })
    .join(', ');
}
