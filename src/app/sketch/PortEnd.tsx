/** How a port looks: a dot where a signal leaves, an arrowhead where one enters, a faint mark where nothing is patched. */
import type { Point, PortGeometry } from '../../sheet/drawing/geometry.ts';

export interface PortEndProps {
  readonly port: PortGeometry;
  /** The block's corner, from which its drawing is measured. */
  readonly x: number;
  readonly y: number;
  readonly used: boolean;
}

export function PortEnd({ port, x, y, used }: PortEndProps) {
  const at: Point = [port.x - x, port.y - y];
  const lead: Point = [port.lead[0] - x, port.lead[1] - y];
  return (
    <g className="port-end" data-used={used}>
      {port.side === 'output' ? (
        <circle className="port-dot" cx={at[0]} cy={at[1]} r={used ? 3 : 2.5} />
      ) : used ? (
        <path className="port-arrow" d={arrow(lead, at, port.out)} />
      ) : (
        <circle className="port-ring" cx={at[0]} cy={at[1]} r={3} />
      )}
      {port.name && <PortLabel port={port} x={x} y={y} />}
    </g>
  );
}

/** The port's name: beside the cable, and along it where control rises from below, as there is little room between the ports. */
function PortLabel({ port, x, y }: Omit<PortEndProps, 'used'>) {
  if (!port.name) return null;
  if (port.edge === 'bottom') {
    return (
      <text className="port-label" transform={`translate(${port.x - x + 9} ${port.y - y + 5}) rotate(-90)`} textAnchor="end">
        {port.name.text}
      </text>
    );
  }
  return (
    <text className="port-label" x={port.name.x - x} y={port.name.baseline - y} textAnchor={port.name.anchor}>
      {port.name.text}
    </text>
  );
}

/** The line from a port to the symbol where no cable draws it. */
export function PortLead({ port, x, y }: Omit<PortEndProps, 'used'>) {
  return <line className="port-lead" x1={port.x - x} y1={port.y - y} x2={port.lead[0] - x} y2={port.lead[1] - y} />;
}

/** A filled arrowhead with its tip on the symbol. */
function arrow(tip: Point, from: Point, out: Point): string {
  const [dx, dy] = [tip[0] - from[0], tip[1] - from[1]];
  const length = Math.hypot(dx, dy);
  const [ux, uy] = length > 0.5 ? [dx / length, dy / length] : [-out[0], -out[1]];
  const back: Point = [tip[0] - 8 * ux, tip[1] - 8 * uy];
  return `M${tip.join(' ')}L${back[0] - 3.5 * uy} ${back[1] + 3.5 * ux}L${back[0] + 3.5 * uy} ${back[1] - 3.5 * ux}Z`;
}
