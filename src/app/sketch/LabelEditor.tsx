/** Typing a new label in place. Enter and leaving keep it, Escape does not. */
import { useRef } from 'react';
import { renameBlock } from '../../patch/commands/index.ts';
import type { BlockGeometry } from '../../sheet/drawing/geometry.ts';
import { useApp, useSession } from '../app.ts';
import { focusBlock } from './focus.ts';
import { useSketchParts } from './sketchStore.ts';

export function LabelEditor({ id, geometry: { box, label: place } }: { readonly id: string; readonly geometry: BlockGeometry }) {
  const { session, catalogue } = useApp();
  const { sketch } = useSketchParts();
  const label = useSession((state) => state.patch.blocks.find((block) => block.id === id)?.label ?? '');
  const done = useRef(false);
  const close = (text: string | undefined, focus: boolean): void => {
    if (done.current) return;
    done.current = true;
    if (text !== undefined && text.trim() !== label)
      session.run(renameBlock(session.getState().patch, catalogue, { block: id, label: text }));
    sketch.setState({ renaming: undefined });
    if (focus) focusBlock(id);
  };
  return (
    <input
      className="block-rename nodrag nopan"
      style={{ left: place.middle - box.x, top: place.y - box.y - 6 }}
      aria-label="Label"
      defaultValue={label}
      placeholder={id}
      maxLength={80}
      ref={(input) => {
        input?.focus({ preventScroll: true });
        input?.select();
      }}
      onBlur={(event) => close(event.currentTarget.value, false)}
      onKeyDown={(event) => {
        event.stopPropagation();
        if (event.key === 'Enter') close(event.currentTarget.value, true);
        if (event.key === 'Escape') close(undefined, true);
      }}
    />
  );
}
