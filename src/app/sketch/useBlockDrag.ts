/** Dragging blocks: the drawing follows, the document changes once, when they are put down. */
import type { OnNodeDrag } from '@xyflow/react';
import { useMemo } from 'react';
import { mainWay } from '../../patch/commands/insertIntoCable.ts';
import { placeName } from '../../patch/document.ts';
import type { Point } from '../../sheet/drawing/geometry.ts';
import { useApp } from '../app.ts';
import type { Actions } from './actions.ts';
import type { BlockFlowNode } from './flowNodes.ts';
import { distanceTo } from './middle.ts';
import { restingSketch, type SketchParts, useSketchParts } from './sketchStore.ts';

/** How near to a cable a block's centre must be to go into it, in sketch units: about half a block. */
const INTO_REACH = 28;

export function useBlockDrag(actions: Actions): {
  readonly onNodeDrag: OnNodeDrag<BlockFlowNode>;
  readonly onNodeDragStop: OnNodeDrag<BlockFlowNode>;
} {
  const { session } = useApp();
  const parts = useSketchParts();
  return useMemo(() => {
    const { sketch, drawn } = parts;
    return {
      onNodeDrag(_event, _node, nodes) {
        const moved = placesOf(nodes);
        const [only] = nodes;
        sketch.setState({ moved, into: only && nodes.length === 1 ? cableUnder(parts, only, session.getState().patch.cables) : undefined });
      },
      onNodeDragStop(_event, _node, nodes) {
        const { into } = sketch.getState();
        const { blocks } = session.getState().patch;
        const places = placesOf(nodes);
        const before = new Map(blocks.map((block) => [block.id, block.at]));
        const isMoved = [...places].some(([id, at]) => before.get(id)?.[0] !== at[0] || before.get(id)?.[1] !== at[1]);
        if (isMoved) actions.putDown(places, into);
        sketch.setState({ moved: restingSketch.moved, into: undefined });
        drawn.show(session.getState().patch, restingSketch.moved);
      },
    };
  }, [actions, session, parts]);
}

function placesOf(nodes: readonly BlockFlowNode[]): Map<string, Point> {
  return new Map(nodes.map((node) => [node.id, [node.position.x, node.position.y] as const]));
}

/** The cable into which a dragged block would go: one that it is not on, and whose signal can pass through it. */
function cableUnder(
  { drawn }: SketchParts,
  node: BlockFlowNode,
  cables: readonly { readonly from: readonly [string, string]; readonly to: readonly [string, string] }[],
): string | undefined {
  const { spec } = node.data;
  const cable = cableAt(drawn.getState().routes, [node.position.x, node.position.y], (key) => key.split('.')[0] !== node.id);
  const found = cable && cables.find(({ to }) => placeName(to) === cable);
  if (!found || found.from[0] === node.id || found.to[0] === node.id) return undefined;
  const way = mainWay(spec, drawn.getState().routes.get(cable)?.kind ?? 'audio');
  if (!way || cables.some(({ to }) => to[0] === node.id && to[1] === way.input.id)) return undefined;
  return cable;
}

/** The cable nearest to a point, within reach. */
export function cableAt(
  routes: ReadonlyMap<string, { readonly points: readonly Point[] }>,
  point: Point,
  allowed: (key: string) => boolean = () => true,
): string | undefined {
  let best: string | undefined;
  let least = INTO_REACH;
  for (const [key, { points }] of routes) {
    const distance = distanceTo(points, point);
    if (distance >= least || !allowed(key)) continue;
    least = distance;
    best = key;
  }
  return best;
}
