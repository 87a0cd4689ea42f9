/** The notebook: all patches kept in this browser. */
import { useDeferredValue, useEffect, useMemo, useState } from 'react';
import { deleted, findPatches, listed } from '../../notebook/list.ts';
import { useApp, useNotebook } from '../app.ts';
import { DeletedPatches } from './DeletedPatches.tsx';
import { Entry } from './Entry.tsx';
import { MenuButton } from './MenuButton.tsx';
import { chooseFiles } from './patchFiles.ts';
import { RefusedFiles } from './RefusedFiles.tsx';
import './notebook.css';

export function NotebookPage() {
  const { catalogue } = useApp();
  const records = useNotebook((state) => state.records);
  const starting = useNotebook((state) => state.status === 'starting');
  const [typed, setTyped] = useState('');
  const wanted = useDeferredValue(typed);
  const all = useMemo(() => listed(records.values()), [records]);
  const gone = useMemo(() => deleted(records.values()), [records]);
  const found = useMemo(() => findPatches(all, wanted, catalogue), [all, wanted, catalogue]);
  const now = useNow();

  useUndoKey();

  return (
    <div className="notebook">
      <Head typed={typed} onTyped={setTyped} count={all.length} found={found.length} />
      <RefusedFiles />
      {all.length === 0 && !starting && <EmptyNotebook />}
      {all.length > 0 && found.length === 0 && (
        <p className="notebook-empty soft">
          No patch has all of "{wanted.trim()}" in its title, summary, tags, notes or functions.{' '}
          <button type="button" className="bordered" onClick={() => setTyped('')}>
            Show all
          </button>
        </p>
      )}
      <ul className="entries" aria-label="Patches">
        {found.map((record) => (
          <Entry key={record.id} record={record} now={now} onTag={setTyped} />
        ))}
      </ul>
      <DeletedPatches records={gone} now={now} />
    </div>
  );
}

interface HeadProps {
  readonly typed: string;
  readonly onTyped: (typed: string) => void;
  readonly count: number;
  readonly found: number;
}

function Head({ typed, onTyped, count, found }: HeadProps) {
  const app = useApp();
  const searching = typed.trim() !== '';
  return (
    <header className="notebook-head">
      <h1>Notebook</h1>
      <p className="soft" role="status">
        {searching ? `${found} of ${count}` : count === 1 ? '1 patch' : `${count} patches`}
      </p>
      <input
        type="search"
        aria-label="Find a patch"
        placeholder="Find by title, tag or function"
        value={typed}
        autoComplete="off"
        spellCheck={false}
        onChange={(event) => onTyped(event.target.value)}
        onKeyDown={(event) => event.key === 'Escape' && onTyped('')}
      />
      <div className="notebook-actions">
        <button type="button" className="main notebook-new" onClick={() => startNew(app)}>
          New patch
        </button>
        <button type="button" className="bordered" title="Or drop patch files anywhere on the page" onClick={() => chooseFiles(app)}>
          Import
        </button>
        <MenuButton
          name="More for the notebook"
          groups={[[{ title: 'Bring back the demo patches', onSelect: () => void app.notebook.restoreDemos() }]]}
        />
      </div>
    </header>
  );
}

function EmptyNotebook() {
  const app = useApp();
  return (
    <div className="notebook-empty">
      <p>The notebook is empty.</p>
      <p className="soft">Begin a patch, bring back the demo patches, or drop patch files here.</p>
      <p>
        <button type="button" className="main" onClick={() => startNew(app)}>
          New patch
        </button>{' '}
        <button type="button" className="bordered" onClick={() => void app.notebook.restoreDemos()}>
          Bring back the demo patches
        </button>
      </p>
    </div>
  );
}

export function startNew({ notebook, view }: Pick<ReturnType<typeof useApp>, 'notebook' | 'view'>): void {
  notebook.create();
  view.setState({ page: 'sketch', drawer: undefined });
}

/** The time, good enough for "5 minutes ago". */
function useNow(): number {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), 30_000);
    return () => clearInterval(timer);
  }, []);
  return now;
}

/** The undo key brings back what was just deleted. */
function useUndoKey(): void {
  const { notebook } = useApp();
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      const { lately } = notebook.getState();
      const undo = event.key.toLowerCase() === 'z' && (event.ctrlKey || event.metaKey) && !event.shiftKey;
      if (!undo || lately.length === 0 || (event.target instanceof Element && event.target.matches('input'))) return;
      event.preventDefault();
      void notebook.restore(lately);
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [notebook]);
}
