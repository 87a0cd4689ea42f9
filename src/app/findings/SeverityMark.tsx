/** How grave a finding is, as a shape and a word; colour only repeats it. */
import type { Severity } from '../../insight/finding.ts';

const drawings: Readonly<Record<Severity, { readonly path: string; readonly word: string }>> = {
  error: { path: 'M5.2 1.5 H10.8 L14.5 5.2 V10.8 L10.8 14.5 H5.2 L1.5 10.8 V5.2 Z M5.5 5.5 L10.5 10.5 M10.5 5.5 L5.5 10.5', word: 'Error' },
  warning: { path: 'M8 1.5 L15 14 H1 Z M8 6 V9.5 M8 11.8 V12', word: 'Warning' },
  hint: { path: 'M8 1.5 A6.5 6.5 0 1 1 8 14.5 A6.5 6.5 0 1 1 8 1.5 M8 7.2 V11.5 M8 4.6 V4.8', word: 'Hint' },
};

export function SeverityMark({ severity }: { readonly severity: Severity }) {
  const { path, word } = drawings[severity];
  return (
    <span className="severity" data-severity={severity} title={word}>
      <svg className="icon" viewBox="0 0 16 16" aria-hidden="true" focusable="false">
        <path d={path} />
      </svg>
      <span className="unseen">{word}: </span>
    </span>
  );
}
