/** What was last said: a quiet note on the page and a live region for screen readers. */
import { useEffect } from 'react';
import { useApp, useSession } from './app.ts';

const SHOWN_MS = 5000;

export function Toast() {
  const { session } = useApp();
  const said = useSession((state) => state.said);
  useEffect(() => {
    if (!said) return;
    const timer = setTimeout(() => session.hush(), SHOWN_MS);
    return () => clearTimeout(timer);
  }, [said, session]);
  return (
    <div role="status" aria-live="polite" aria-atomic="true">
      {said && (
        <p className="toast" key={said.count} data-kind={said.kind}>
          {said.text}
        </p>
      )}
    </div>
  );
}
