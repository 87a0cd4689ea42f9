/** What the patch checks found, as a list; each entry leads to its block. */
import type { Finding, Severity } from '../../insight/finding.ts';
import { useApp, useChecks, useSession } from '../app.ts';
import { SeverityMark } from './SeverityMark.tsx';
import './findings.css';

export function Findings() {
  const found = useChecks((state) => state.findings);
  const empty = useSession((state) => state.patch.blocks.length === 0);
  return (
    <section className="findings" aria-label="Findings">
      <h2>Findings {found.length > 0 && <span className="soft small">{counted(found)}</span>}</h2>
      {found.length === 0 ? (
        <p className="soft">{empty ? 'The patch is checked as soon as it has blocks.' : 'Nothing is amiss in the drawing.'}</p>
      ) : (
        <ul>
          {found.map((finding) => (
            <li key={`${finding.id} ${finding.block ?? ''} ${finding.place?.[1] ?? ''}`}>
              <Entry finding={finding} />
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Entry({ finding: { block, severity, say } }: { readonly finding: Finding }) {
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
