/** One block on the sketch: symbol, label, key settings and ports. The same component draws every function. */
import type { NodeProps } from '@xyflow/react';
import { memo } from 'react';
import { useStore } from 'zustand';
import { type BlockGeometry, LABEL_ROOM, type PortGeometry } from '../../sheet/drawing/geometry.ts';
import { useEar, useHighlight, useMarks } from '../app.ts';
import { SymbolDrawing } from '../SymbolDrawing.tsx';
import type { BlockFlowNode } from './flowNodes.ts';
import { LabelEditor } from './LabelEditor.tsx';
import { PortButton } from './PortButton.tsx';
import { PortEnd, PortLead } from './PortEnd.tsx';
import { useSketch, useSketchParts } from './sketchStore.ts';

export const BlockNode = memo(function BlockNode({ id, data, selected }: NodeProps<BlockFlowNode>) {
  const { spec, symbol, sources, used, probed } = data;
  const geometry = useStore(useSketchParts().drawn, (state) => state.blocks.get(id));
  const renaming = useSketch((state) => state.renaming === id);
  const mark = useMarks((state) => state.marks.get(id));
  const heard = useEar(({ at }) => (at?.[0] === id ? at[1] : undefined));
  const lit = useHighlight((state) => state.blocks.has(id));
  if (!geometry) return null;
  const { box } = geometry;
  const rect = geometry.symbol;
  const inUse = (port: PortGeometry): boolean => (port.side === 'input' ? sources[port.id] !== undefined : used.includes(port.id));
  return (
    <div className="block" data-selected={selected} data-lit={lit} data-type={spec.type}>
      <BlockFrame geometry={geometry} />
      <svg className="block-drawing" width={box.width} height={box.height} aria-hidden="true" focusable="false">
        {geometry.ports.map((port) => !inUse(port) && <PortLead key={`${port.side} ${port.id}`} port={port} x={box.x} y={box.y} />)}
        <SymbolDrawing symbol={symbol} x={rect.x - box.x} y={rect.y - box.y} width={rect.width} height={rect.height} />
        {geometry.ports.map((port) => (
          <PortEnd key={`${port.side} ${port.id}`} port={port} x={box.x} y={box.y} used={inUse(port)} />
        ))}
      </svg>
      {renaming ? <LabelEditor id={id} geometry={geometry} /> : <BlockLabel geometry={geometry} />}
      {mark && (
        <span
          className="block-mark"
          style={{ left: geometry.label.x - box.x - 20, top: geometry.label.y - box.y }}
          data-severity={mark.severity}
          title={mark.say}
          role="img"
          aria-label={mark.say}
        >
          !
        </span>
      )}
      {geometry.ports.map((port) => (
        <PortButton
          key={`${port.side} ${port.id}`}
          block={id}
          port={port}
          left={port.x - box.x}
          top={port.y - box.y}
          source={port.side === 'input' ? sources[port.id] : undefined}
          heard={port.side === 'output' && port.id === heard}
          probed={port.side === 'output' && probed.includes(port.id)}
        />
      ))}
    </div>
  );
});

function BlockLabel({ geometry: { box, label } }: { readonly geometry: BlockGeometry }) {
  return (
    <span
      className="block-label"
      style={{ left: label.middle - box.x - LABEL_ROOM / 2, width: LABEL_ROOM, top: label.y - box.y, height: label.height }}
    >
      <b>{label.label}</b>
      {label.line && <span className="value">{label.line}</span>}
    </span>
  );
}

/** Shows around body and label that the block is selected or has the focus. */
function BlockFrame({ geometry: { box, label } }: { readonly geometry: BlockGeometry }) {
  const left = Math.min(label.x - box.x, 0) - 8;
  const right = Math.min(box.x + box.width - label.x - label.width, 0) - 8;
  return <span className="block-frame" style={{ top: label.y - box.y - 6, left, right }} />;
}
