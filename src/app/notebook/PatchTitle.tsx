/** Title and summary of the open patch, in the header, with what can be done with it as a whole. */
import { useEffect, useRef, useState } from 'react';
import { useApp, useSession } from '../app.ts';
import { TitleField } from './Entry.tsx';
import { MenuButton } from './MenuButton.tsx';
import { startNew } from './NotebookPage.tsx';
import { chooseFiles, exportPatch } from './patchFiles.ts';

export function PatchTitle() {
  const app = useApp();
  const { notebook, view } = app;
  const title = useSession((state) => state.patch.title) || 'Untitled';
  const summary = useSession((state) => state.patch.summary);
  const id = useSession((state) => state.opened.id);
  const [renaming, setRenaming] = useState(false);
  const button = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    document.title = `${title} - Signal Sketchbook`;
  }, [title]);

  const rename = (typed: string | undefined): void => {
    setRenaming(false);
    if (typed !== undefined && id !== undefined) void notebook.rename(id, typed);
    requestAnimationFrame(() => button.current?.focus());
  };
  const duplicate = async (): Promise<void> => {
    const copy = id === undefined ? undefined : await notebook.duplicate(id);
    if (copy !== undefined) await notebook.open(copy);
  };

  return (
    <div className="patch-name">
      {renaming ? (
        <TitleField title={title} onDone={rename} />
      ) : (
        <h1 className="patch-title">
          <button ref={button} type="button" title="Rename the patch" onClick={() => setRenaming(true)}>
            {title}
          </button>
        </h1>
      )}
      <MenuButton
        name="More for this patch"
        align="start"
        groups={[
          [
            { title: 'New patch', onSelect: () => startNew(app) },
            { title: 'Duplicate this patch', onSelect: () => void duplicate() },
            { title: 'Rename', onSelect: () => setRenaming(true) },
          ],
          [
            { title: 'Export as .patch.json', onSelect: () => exportPatch(app, id) },
            { title: 'Import patch files', onSelect: () => chooseFiles(app) },
          ],
          [{ title: 'Show the notebook', onSelect: () => view.setState({ page: 'notebook', drawer: undefined }) }],
        ]}
      />
      {summary && (
        <p className="patch-summary soft" title={summary}>
          {summary}
        </p>
      )}
    </div>
  );
}
