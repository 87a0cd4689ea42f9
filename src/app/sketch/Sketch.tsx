/** The canvas. */
import { useSession } from '../app.ts';

export function Sketch() {
  const blocks = useSession((state) => state.patch.blocks);
  return <p>{blocks.length === 0 ? 'Choose a function on the left to begin.' : `${blocks.length} blocks`}</p>;
}
