/** The checks in the sketch's tools: how much they found; a press shows the list in the side strip. */
import { useApp, useChecks } from '../app.ts';
import { counted } from './Findings.tsx';
import { SeverityMark } from './SeverityMark.tsx';

export function FindingsButton() {
  const { session, view } = useApp();
  const found = useChecks((state) => state.findings);
  const [worst] = found;
  if (!worst) return null;
  return (
    <button
      type="button"
      className="findings-button"
      aria-label={`Show the findings: ${counted(found)}`}
      title={counted(found)}
      onClick={() => {
        session.clearSelection();
        view.setState({ stripShown: true, drawer: 'strip' });
        requestAnimationFrame(() => {
          const list = document.querySelector<HTMLElement>('.findings');
          list?.scrollIntoView({ block: 'nearest' });
          list?.querySelector<HTMLElement>('button')?.focus({ preventScroll: true });
        });
      }}
    >
      <SeverityMark severity={worst.severity} />
      <span aria-hidden="true">{found.length}</span>
    </button>
  );
}
