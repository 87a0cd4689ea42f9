/** What was deleted and can still be brought back. */
import { KEPT_DAYS, type NotebookRecord } from '../../notebook/record.ts';
import { useApp } from '../app.ts';
import { whenText } from './when.ts';

export interface DeletedPatchesProps {
  readonly records: readonly NotebookRecord[];
  readonly now: number;
}

export function DeletedPatches({ records, now }: DeletedPatchesProps) {
  const { notebook } = useApp();
  if (records.length === 0) return null;
  return (
    <details className="deleted">
      <summary>Recently deleted ({records.length})</summary>
      <p className="soft small">Deleted patches are kept for {KEPT_DAYS} days.</p>
      <ul>
        {records.map(({ id, patch, trashed }) => {
          const title = patch.title || 'Untitled';
          return (
            <li key={id}>
              <span className="deleted-title">{title}</span>
              <span className="soft small">{whenText(trashed ?? now, now)}</span>
              <button type="button" aria-label={`Bring back ${title}`} onClick={() => void notebook.restore([id])}>
                Bring back
              </button>
              <button type="button" aria-label={`Delete ${title} for good`} onClick={() => void notebook.purge([id])}>
                Delete for good
              </button>
            </li>
          );
        })}
      </ul>
      {records.length > 1 && (
        <button type="button" className="bordered" onClick={() => void notebook.purge(records.map(({ id }) => id))}>
          Delete all {records.length} for good
        </button>
      )}
    </details>
  );
}
