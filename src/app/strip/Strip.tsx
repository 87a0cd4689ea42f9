/** The side strip: settings of the selected block. */
import { useApp, useSession } from '../app.ts';

export function Strip() {
  const { catalogue } = useApp();
  const block = useSession(({ patch, selection }) =>
    selection.blocks.size === 1 ? patch.blocks.find(({ id }) => selection.blocks.has(id)) : undefined,
  );
  const spec = block && catalogue.get(block.type);
  if (!block || !spec) return <p className="strip-empty soft">Select a block to see its settings.</p>;
  return (
    <section className="strip" aria-label={`Settings of ${block.label ?? spec.title}`}>
      <h2>{block.label ?? spec.title}</h2>
      <p className="soft">{spec.say}</p>
    </section>
  );
}
