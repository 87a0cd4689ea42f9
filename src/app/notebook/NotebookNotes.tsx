/** What the notebook has to say wherever one is: nothing is kept, another tab was quicker, something was deleted. */
import { type ReactNode, useEffect, useState } from 'react';
import { useApp, useNotebook } from '../app.ts';
import { exportPatch } from './patchFiles.ts';
import './notebook.css';

/** How long a deletion offers its undoing here; the list of deleted patches offers it for days. */
const UNDO_MS = 12_000;

export function NotebookNotes() {
  return (
    <div className="notes" role="status">
      <Trouble />
      <Newer />
      <Deleted />
    </div>
  );
}

function Trouble() {
  const app = useApp();
  const trouble = useNotebook((state) => state.trouble);
  const [away, setAway] = useState<string>();
  useEffect(() => {
    if (trouble === undefined) setAway(undefined);
  }, [trouble]);
  if (trouble === undefined || trouble === away) return null;
  return (
    <Note grave say={trouble}>
      <button type="button" className="bordered" onClick={() => exportPatch(app, undefined)}>
        Export the open patch
      </button>
      <button type="button" onClick={() => setAway(trouble)}>
        Go on
      </button>
    </Note>
  );
}

function Newer() {
  const { notebook } = useApp();
  const newer = useNotebook((state) => state.newerElsewhere);
  if (!newer) return null;
  return (
    <Note say="This patch was changed in another tab. What is shown here is the older form.">
      <button type="button" className="bordered" onClick={() => void notebook.takeNewer()}>
        Show the newer one
      </button>
      <button type="button" onClick={() => notebook.keepAsCopy()}>
        Keep this one as a copy
      </button>
      <button type="button" onClick={() => notebook.keepMine()}>
        Put this one in its place
      </button>
    </Note>
  );
}

function Deleted() {
  const { notebook } = useApp();
  const lately = useNotebook((state) => state.lately);
  const records = useNotebook((state) => state.records);
  useEffect(() => {
    if (lately.length === 0) return;
    const timer = setTimeout(() => notebook.forgetLately(), UNDO_MS);
    return () => clearTimeout(timer);
  }, [lately, notebook]);
  const [first] = lately;
  const title = first === undefined ? undefined : records.get(first)?.patch.title || 'Untitled';
  if (title === undefined) return null;
  return (
    <Note say={`"${title}" was deleted.`}>
      <button type="button" className="bordered" onClick={() => void notebook.restore(lately)}>
        Undo
      </button>
    </Note>
  );
}

interface NoteProps {
  readonly say: string;
  readonly grave?: boolean;
  readonly children: ReactNode;
}

function Note({ say, grave = false, children }: NoteProps) {
  return (
    <div className="note" data-grave={grave}>
      <p>{say}</p>
      <div className="note-actions">{children}</div>
    </div>
  );
}
