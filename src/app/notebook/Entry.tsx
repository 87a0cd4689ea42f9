/** One patch of the notebook. */
import { type KeyboardEvent, useEffect, useRef, useState } from 'react';
import type { NotebookRecord } from '../../notebook/record.ts';
import { useApp, useSession } from '../app.ts';
import { MenuButton } from './MenuButton.tsx';
import { exportPatch } from './patchFiles.ts';
import { Thumbnail } from './Thumbnail.tsx';
import { whenText } from './when.ts';

export interface EntryProps {
  readonly record: NotebookRecord;
  readonly now: number;
  readonly onTag: (tag: string) => void;
}

export function Entry({ record, now, onTag }: EntryProps) {
  const app = useApp();
  const { notebook, view } = app;
  const { id, changed } = record;
  const isOpen = useSession((state) => state.opened.id === id);
  const current = useSession((state) => (state.opened.id === id ? state.patch : record.patch));
  const [renaming, setRenaming] = useState(false);
  const title = current.title || 'Untitled';

  const open = async (): Promise<void> => {
    if (await notebook.open(id)) view.setState({ page: 'sketch' });
  };
  const remove = (): void => {
    focusNeighbour(id);
    void notebook.remove(id);
  };
  const duplicate = async (): Promise<void> => {
    const copy = await notebook.duplicate(id);
    if (copy !== undefined) focusEntry(copy);
  };

  const keys = (event: KeyboardEvent): void => {
    if (!(event.target as Element).matches('.entry-title button')) return;
    const plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    if (event.key === 'F2' && plain) setRenaming(true);
    else if ((event.key === 'Delete' || event.key === 'Backspace') && plain) remove();
    else if (event.key.toLowerCase() === 'd' && (event.ctrlKey || event.metaKey)) void duplicate();
    else if (event.key === 'ArrowDown' && plain) neighbour(id, 1)?.focus();
    else if (event.key === 'ArrowUp' && plain) neighbour(id, -1)?.focus();
    else return;
    event.preventDefault();
  };

  return (
    <li className="entry" data-id={id} data-open={isOpen} onKeyDown={keys}>
      <Thumbnail patch={current} />
      <div className="entry-words">
        {renaming ? (
          <TitleField
            title={current.title ?? ''}
            onDone={(typed) => {
              setRenaming(false);
              if (typed !== undefined) void notebook.rename(id, typed);
              focusEntry(id);
            }}
          />
        ) : (
          <h2 className="entry-title">
            <button type="button" aria-current={isOpen ? 'true' : undefined} onClick={() => void open()}>
              {title}
            </button>
            {isOpen && <span className="soft small"> open</span>}
          </h2>
        )}
        {current.summary && <p className="entry-summary soft">{current.summary}</p>}
        <p className="entry-facts small">
          <time className="soft" dateTime={new Date(changed).toISOString()}>
            {whenText(changed, now)}
          </time>
          {current.tags?.map((tag) => (
            <button key={tag} type="button" title={`Find all with "${tag}"`} onClick={() => onTag(tag)}>
              {tag}
            </button>
          ))}
        </p>
      </div>
      <MenuButton
        name={`More for ${title}`}
        groups={[
          [
            { title: 'Open', keys: 'Enter', onSelect: () => void open() },
            { title: 'Rename', keys: 'F2', onSelect: () => setRenaming(true) },
            { title: 'Duplicate', keys: 'Ctrl D', onSelect: () => void duplicate() },
            { title: 'Export as .patch.json', onSelect: () => exportPatch(app, id) },
          ],
          [{ title: 'Delete', keys: 'Delete', onSelect: remove }],
        ]}
      />
    </li>
  );
}

interface TitleFieldProps {
  readonly title: string;
  /** Told of what was typed; of nothing on Escape. */
  readonly onDone: (typed: string | undefined) => void;
}

export function TitleField({ title, onDone }: TitleFieldProps) {
  const [typed, setTyped] = useState(title);
  const field = useRef<HTMLInputElement>(null);
  const done = useRef(false);
  useEffect(() => {
    // A menu that was just closed gives the focus back first.
    const timer = setTimeout(() => {
      field.current?.focus();
      field.current?.select();
    });
    return () => clearTimeout(timer);
  }, []);
  const finish = (value: string | undefined): void => {
    if (done.current) return;
    done.current = true;
    onDone(value);
  };
  return (
    <input
      ref={field}
      className="title-field"
      aria-label="Title"
      value={typed}
      maxLength={200}
      autoComplete="off"
      onChange={(event) => setTyped(event.target.value)}
      onBlur={() => field.current && document.hasFocus() && finish(typed)}
      onKeyDown={(event) => {
        if (event.key === 'Enter') finish(typed);
        else if (event.key === 'Escape') finish(undefined);
        else return;
        event.preventDefault();
        event.stopPropagation();
      }}
    />
  );
}

function titleButtons(): HTMLElement[] {
  return [...document.querySelectorAll<HTMLElement>('.entry-title button')];
}

function neighbour(id: string, by: number): HTMLElement | undefined {
  const all = titleButtons();
  const at = all.findIndex((button) => button.closest<HTMLElement>('.entry')?.dataset.id === id);
  return at < 0 ? undefined : all[at + by];
}

/** Where the focus goes when an entry is deleted: the next one, else the one before. */
function focusNeighbour(id: string): void {
  const next = neighbour(id, 1) ?? neighbour(id, -1);
  requestAnimationFrame(() => (next ?? document.querySelector<HTMLElement>('.notebook-new'))?.focus());
}

function focusEntry(id: string): void {
  requestAnimationFrame(() =>
    document.querySelector<HTMLElement>(`.entry[data-id="${CSS.escape(id)}"] .entry-title button`)?.focus({ preventScroll: false }),
  );
}
