/** One block on the sketch: symbol, label, key settings and ports. The same component draws every function. */
import type { NodeProps } from '@xyflow/react';
import { memo } from 'react';
import { useStore } from 'zustand';
import { useMarks } from '../app.ts';
import { SymbolDrawing } from '../SymbolDrawing.tsx';
import type { BlockFlowNode } from './flowNodes.ts';
import { LabelEditor } from './LabelEditor.tsx';
import { PortButton } from './PortButton.tsx';
import { useSketch, useSketchParts } from './sketchStore.ts';

export const BlockNode = memo(function BlockNode({ id, data, selected }: NodeProps<BlockFlowNode>) {
  const { spec, symbol, sources, probed } = data;
  const geometry = useStore(useSketchParts().drawn, (state) => state.blocks.get(id));
  const renaming = useSketch((state) => state.renaming === id);
  const mark = useMarks((state) => state.marks.get(id));
  if (!geometry) return null;
  const { box, label } = geometry;
  const left = (x: number): number => x - box.x;
  const top = (y: number): number => y - box.y;
  return (
    <div className="block" data-selected={selected} data-type={spec.type}>
      <svg className="block-drawing" width={box.width} height={box.height} aria-hidden="true" focusable="false">
        {geometry.ports.map((port) => (
          <line
            key={`${port.side} ${port.id}`}
            className="block-lead"
            data-kind={port.kind}
            x1={left(port.x)}
            y1={top(port.y)}
            x2={left(port.lead[0])}
            y2={top(port.lead[1])}
          />
        ))}
        <SymbolDrawing
          symbol={symbol}
          x={left(geometry.symbol.x)}
          y={top(geometry.symbol.y)}
          width={geometry.symbol.width}
          height={geometry.symbol.height}
        />
      </svg>
      <span
        className="block-outline"
        style={{
          top: top(label.y) - 6,
          left: Math.min(left(label.x), 0) - 8,
          right: Math.min(box.width - left(label.x) - label.width, 0) - 8,
        }}
      />
      {renaming ? (
        <LabelEditor id={id} left={left(label.middle)} top={top(label.y)} />
      ) : (
        <span className="block-label" style={{ left: left(label.middle), top: top(label.y), height: label.height }}>
          <b>{label.label}</b>
          {label.line && <span className="value">{label.line}</span>}
        </span>
      )}
      {mark && (
        <span className="block-mark" data-severity={mark.severity} title={mark.say} role="img" aria-label={mark.say}>
          !
        </span>
      )}
      {geometry.ports.map((port) => (
        <PortButton
          key={`${port.side} ${port.id}`}
          block={id}
          port={port}
          left={left(port.x)}
          top={top(port.y)}
          source={port.side === 'input' ? sources[port.id] : undefined}
          probed={port.side === 'output' && probed.includes(port.id)}
        />
      ))}
    </div>
  );
});
