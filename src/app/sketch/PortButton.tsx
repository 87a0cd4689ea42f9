/** A port: a small mark with a large area to hit, and a name on hover and focus. What it does is handled by the sketch around it. */
import { memo } from 'react';
import type { PortGeometry } from '../../sheet/drawing/geometry.ts';
import { Icon } from '../Icon.tsx';
import { portName } from './cabling.ts';

export interface PortButtonProps {
  readonly block: string;
  readonly port: PortGeometry;
  /** Place in the block's box, in sketch units. */
  readonly left: number;
  readonly top: number;
  /** For a patched input: what feeds it, in words. */
  readonly source: string | undefined;
  readonly probed: boolean;
  /** The ear is on it. */
  readonly heard: boolean;
}

export const PortButton = memo(
  function PortButton({ block, port, left, top, source, probed, heard }: PortButtonProps) {
    const state = `${source ? `, fed by ${source}` : probed ? ', probed' : ''}${heard ? ', you hear it' : ''}`;
    return (
      <button
        type="button"
        className="port nodrag nopan"
        style={{ left, top }}
        data-port={portName({ place: [block, port.id], side: port.side })}
        data-block={block}
        data-id={port.id}
        data-side={port.side}
        data-edge={port.edge}
        data-kind={port.kind}
        data-patched={source !== undefined}
        data-probed={probed}
        data-heard={heard}
        aria-label={`${port.title}, ${port.kind} ${port.side}${state}`}
        tabIndex={-1}
      >
        <span className="port-name" aria-hidden="true">
          {port.title}
        </span>
        {heard && (
          <span className="port-ear">
            <Icon name="ear" />
          </span>
        )}
      </button>
    );
  },
  (a, b) =>
    a.block === b.block &&
    a.left === b.left &&
    a.top === b.top &&
    a.source === b.source &&
    a.probed === b.probed &&
    a.heard === b.heard &&
    a.port.id === b.port.id &&
    a.port.title === b.port.title &&
    a.port.kind === b.port.kind,
);
