/** Title and summary of the open patch, in the header. */
import { useSession } from '../app.ts';

export function PatchTitle() {
  const title = useSession((state) => state.patch.title);
  const summary = useSession((state) => state.patch.summary);
  return (
    <h1 className="patch-title">
      {title || 'Untitled'} {summary && <span className="soft">{summary}</span>}
    </h1>
  );
}
