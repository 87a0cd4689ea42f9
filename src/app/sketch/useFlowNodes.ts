/** The canvas library's nodes, following the document; its changes are led back to where they belong. */
import { applyNodeChanges, type OnNodesChange } from '@xyflow/react';
import { useCallback, useEffect, useState } from 'react';
import { useApp } from '../app.ts';
import { type BlockFlowNode, flowNodes } from './flowNodes.ts';
import { useSketchParts } from './sketchStore.ts';

export function useFlowNodes(): { readonly nodes: BlockFlowNode[]; readonly onNodesChange: OnNodesChange<BlockFlowNode> } {
  const { session, catalogue, symbols } = useApp();
  const { sketch, drawn } = useSketchParts();

  const fresh = useCallback(
    (before: readonly BlockFlowNode[]) => {
      const { patch, selection } = session.getState();
      const { blocks } = drawn.getState();
      return flowNodes(before, { patch, selected: selection.blocks, blocks, moved: sketch.getState().moved, catalogue, symbols });
    },
    [session, sketch, drawn, catalogue, symbols],
  );

  const [nodes, setNodes] = useState(() => fresh([]));

  useEffect(() => {
    const refresh = (): void =>
      setNodes((before) => {
        const after = fresh(before);
        return after.length === before.length && after.every((node, i) => node === before[i]) ? before : after;
      });
    refresh();
    const stops = [
      session.subscribe((now, before) => (now.selection !== before.selection || now.patch !== before.patch) && refresh()),
      drawn.subscribe((now, before) => now.blocks !== before.blocks && refresh()),
    ];
    return () => {
      for (const stop of stops) stop();
    };
  }, [session, drawn, fresh]);

  const onNodesChange: OnNodesChange<BlockFlowNode> = useCallback(
    (changes) => {
      const picks = changes.filter((change) => change.type === 'select');
      if (picks.length > 0) {
        const selected = new Set(session.getState().selection.blocks);
        for (const { id, selected: isSelected } of picks) {
          if (isSelected) selected.add(id);
          else selected.delete(id);
        }
        if (selected.size > 0 || session.getState().selection.blocks.size > 0) session.select(selected);
      }
      // Places come back by way of the drag handlers; only measured sizes stay with the library.
      const sizes = changes.filter((change) => change.type === 'dimensions');
      if (sizes.length > 0) setNodes((before) => applyNodeChanges(sizes, before));
    },
    [session],
  );

  return { nodes, onNodesChange };
}
