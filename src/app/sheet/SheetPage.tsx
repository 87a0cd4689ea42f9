/** The printable patch sheet of the open patch. */
import { useSession } from '../app.ts';

export function SheetPage() {
  const title = useSession((state) => state.patch.title);
  return <h1>{title || 'Untitled'}</h1>;
}
