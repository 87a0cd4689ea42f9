/** The cable in somebody's hand, above the blocks. */
import { useStore } from 'zustand';
import { type Point, portOf } from '../../sheet/drawing/geometry.ts';
import { plainPath } from '../../sheet/drawing/route.ts';
import { svgPath } from '../../sheet/drawing/svgPath.ts';
import { CableStroke } from './CableLayer.tsx';
import type { PortRef } from './cabling.ts';
import { useSketch, useSketchParts } from './sketchStore.ts';

export function CablingLayer() {
  const cabling = useSketch((state) => state.cabling);
  const blocks = useStore(useSketchParts().drawn, (state) => state.blocks);
  if (!cabling) return null;
  const find = (port: PortRef | undefined) => {
    const geometry = port && blocks.get(port.place[0]);
    return geometry && portOf(geometry, port.side, port.place[1]);
  };
  const from = find(cabling.from);
  const target = find(cabling.target);
  if (!from) return null;
  const loose: Point | undefined = target ? [target.x, target.y] : cabling.loose;
  const kind = from.side === 'output' ? from.kind : (target?.kind ?? from.kind);
  const end = loose && { x: loose[0], y: loose[1], edge: target?.edge ?? ('left' as const) };
  return (
    <svg className="cabling" width="1" height="1" aria-hidden="true">
      <circle className="cabling-from" cx={from.x} cy={from.y} r={8} />
      {end && (
        <CableStroke kind={kind} path={svgPath(from.side === 'output' ? plainPath({ from, to: end }).points : backwards(end, from))} />
      )}
      {target && <circle className="cabling-target" cx={target.x} cy={target.y} r={9} />}
      {target && (
        <text className="cabling-name" x={target.x} y={target.y - 14}>
          {target.title}
        </text>
      )}
    </svg>
  );
}

interface End {
  readonly x: number;
  readonly y: number;
}

/** From the loose end to an input. */
function backwards(end: End, to: { readonly x: number; readonly y: number; readonly edge: 'left' | 'right' | 'bottom' }): readonly Point[] {
  const from = { id: '', title: '', kind: 'audio', side: 'output', edge: 'right', out: [1, 0], lead: [end.x, end.y], ...end } as const;
  return plainPath({ from, to }).points;
}
