/** The side strip: the selected block's settings, or the patch itself. */
import { useApp, useSession } from '../app.ts';
import { BlockPanel } from './BlockPanel.tsx';
import { PatchPanel } from './PatchPanel.tsx';
import './strip.css';

export function Strip() {
  const { catalogue } = useApp();
  const count = useSession(({ selection }) => selection.blocks.size);
  const block = useSession(({ patch, selection }) =>
    selection.blocks.size === 1 ? patch.blocks.find(({ id }) => selection.blocks.has(id)) : undefined,
  );
  const spec = block && catalogue.get(block.type);
  if (block && spec) return <BlockPanel key={block.id} block={block} spec={spec} />;
  if (count > 1) {
    return (
      <section className="strip" aria-label="Selection">
        <h2>{count} blocks</h2>
        <p className="soft">Move, copy, duplicate or delete them together. Select a single block to set it.</p>
      </section>
    );
  }
  return <PatchPanel />;
}
