/** The patch as a graph for the layout library, and back. */
import type { ElkNode } from 'elkjs/lib/elk-api.js';
import { type Patch, placeName } from '../../patch/document.ts';
import { type BlockGeometry, GRID, type Point, type PortGeometry, portOf, snap } from '../../sheet/drawing/geometry.ts';

/** Room for cables between layers and rows, in sketch units. */
const OPTIONS = {
  'elk.algorithm': 'layered',
  'elk.direction': 'RIGHT',
  'elk.edgeRouting': 'ORTHOGONAL',
  'elk.layered.spacing.nodeNodeBetweenLayers': '64',
  'elk.spacing.nodeNode': '32',
  'elk.layered.spacing.edgeNodeBetweenLayers': '24',
  'elk.spacing.edgeNode': '24',
  'elk.layered.spacing.edgeEdgeBetweenLayers': '8',
  'elk.spacing.componentComponent': '64',
  'elk.layered.nodePlacement.strategy': 'NETWORK_SIMPLEX',
  'elk.layered.feedbackEdges': 'true',
} as const;

/** How much a cable wants to be short and straight: the sound path makes the line, control rises to it. */
const STRAIGHT: Readonly<Record<PortGeometry['kind'], string>> = { audio: '10', pitch: '2', control: '2', gate: '1' };

/** Half the label may stand out on each side; above the body there is room for it. */
export function layoutGraph(patch: Patch, blocks: ReadonlyMap<string, BlockGeometry>): ElkNode {
  const children = [...blocks].map(([id, geometry]) => {
    const { left, top, width, height } = frame(geometry);
    return {
      id,
      width,
      height,
      layoutOptions: { 'elk.portConstraints': 'FIXED_POS' },
      ports: geometry.ports.map((port) => ({
        id: portId(id, port),
        width: 0,
        height: 0,
        // Ports lie on the frame, so that the library leads cables round the label as well.
        x: port.edge === 'left' ? 0 : port.edge === 'right' ? width : port.x - left,
        y: port.edge === 'bottom' ? height : port.y - top,
        layoutOptions: { 'elk.port.side': { left: 'WEST', right: 'EAST', bottom: 'SOUTH' }[port.edge] },
      })),
    };
  });
  const edges = patch.cables.flatMap((cable) => {
    const source = blocks.get(cable.from[0]);
    const target = blocks.get(cable.to[0]);
    const from = source && portOf(source, 'output', cable.from[1]);
    const to = target && portOf(target, 'input', cable.to[1]);
    if (!from || !to) return [];
    return [
      {
        id: placeName(cable.to),
        sources: [portId(cable.from[0], from)],
        targets: [portId(cable.to[0], to)],
        layoutOptions: {
          'elk.layered.priority.straightness': STRAIGHT[from.kind],
          'elk.layered.priority.direction': from.kind === 'audio' ? '10' : '1',
        },
      },
    ];
  });
  return { id: 'sketch', layoutOptions: OPTIONS, children, edges };
}

/** Centres of the blocks, on the grid, with the drawing's upper left corner kept where it was. */
export function readPlaces(laidOut: ElkNode, blocks: ReadonlyMap<string, BlockGeometry>): Map<string, Point> {
  const places = new Map<string, Point>();
  for (const { id, x = 0, y = 0 } of laidOut.children ?? []) {
    const geometry = blocks.get(id);
    if (!geometry) continue;
    const { left, top } = frame(geometry);
    places.set(id, [x + geometry.at[0] - left, y + geometry.at[1] - top]);
  }
  const corner = (points: Iterable<Point>): Point => {
    const all = [...points];
    return [Math.min(...all.map(([x]) => x)), Math.min(...all.map(([, y]) => y))];
  };
  const was = corner([...places.keys()].map((id) => blocks.get(id)?.at ?? [0, 0]));
  const is = corner(places.values());
  return new Map([...places].map(([id, [x, y]]) => [id, snap([x + was[0] - is[0], y + was[1] - is[1]])]));
}

/** The body with its label. */
function frame({ box, label }: BlockGeometry) {
  const left = Math.min(box.x, label.x);
  const top = Math.min(box.y, label.y);
  const right = Math.max(box.x + box.width, label.x + label.width);
  const bottom = box.y + box.height + GRID;
  return { left, top, width: right - left, height: bottom - top };
}

function portId(block: string, port: PortGeometry): string {
  return `${block} ${port.side} ${port.id}`;
}
