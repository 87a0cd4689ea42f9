/** All cables, behind the blocks. */
import { memo } from 'react';
import { useStore } from 'zustand';
import type { SignalKind } from '../../patch/blockSpec.ts';
import { lineStyles } from '../../sheet/drawing/lineStyles.ts';
import { branchDot, wholePath } from '../../sheet/drawing/svgPath.ts';
import { useHighlight, useSession } from '../app.ts';
import type { DrawnCable } from './drawn.ts';
import { delayMark } from './middle.ts';
import { useSketch, useSketchParts } from './sketchStore.ts';

export function CableLayer() {
  const { drawn } = useSketchParts();
  const routes = useStore(drawn, (state) => state.routes);
  const delayed = useStore(drawn, (state) => state.delayed);
  const selected = useSession((state) => state.selection.cable);
  const into = useSketch((state) => state.into);
  const lifted = useSketch((state) => state.cabling?.lifted?.join('.'));
  const lit = useHighlight((state) => state.cables);
  return (
    <svg className="cables" width="1" height="1" aria-hidden="true">
      {[...routes.values()].map((route) => (
        <CableLine
          key={route.key}
          route={route}
          selected={route.key === selected}
          into={route.key === into}
          lifted={route.key === lifted}
          delayed={delayed.has(route.key)}
          weight={lit.get(route.key)}
        />
      ))}
    </svg>
  );
}

interface CableLineProps {
  readonly route: DrawnCable;
  readonly selected: boolean;
  /** A dragged block would go in here. */
  readonly into: boolean;
  /** Its end is in somebody's hand. */
  readonly lifted: boolean;
  readonly delayed: boolean;
  /** How much of what an answer points at runs through it, 0..1. */
  readonly weight: number | undefined;
}

/** Width of the band behind a cable that is pointed at, in sketch units: from hardly anything to all of it. */
const bandWidth = (weight: number): number => 5 + 11 * Math.min(1, Math.max(0, weight));

const CableLine = memo(function CableLine({ route, selected, into, lifted, delayed, weight }: CableLineProps) {
  const whole = wholePath(route);
  const dot = branchDot(route);
  return (
    <g
      className="cable"
      data-kind={route.kind}
      data-cable={route.key}
      data-selected={selected}
      data-into={into}
      data-lifted={lifted}
      data-lit={weight !== undefined}
    >
      {weight !== undefined && <path className="cable-band" d={whole} style={{ strokeWidth: bandWidth(weight) }} />}
      {(selected || into) && <path className="cable-picked" d={whole} />}
      <CableStroke kind={route.kind} path={route.line} />
      {dot && <circle className="cable-dot" cx={dot[0]} cy={dot[1]} r={3} />}
      {delayed && <DelayMark route={route} />}
      <path className="cable-hit" d={whole}>
        <title>{delayed ? `${route.source} to ${route.key}, one sample late: it closes a loop` : `${route.source} to ${route.key}`}</title>
      </path>
    </g>
  );
});

/** The line of one kind of signal; the pitch line is double. */
export function CableStroke({ kind, path }: { readonly kind: SignalKind; readonly path: string }) {
  const style = lineStyles[kind];
  return (
    <>
      <path
        className="cable-line"
        d={path}
        style={{ stroke: `var(${style.colour})`, strokeWidth: style.width }}
        strokeDasharray={style.dash?.join(' ')}
      />
      {style.core && <path className="cable-core" d={path} style={{ strokeWidth: style.core }} />}
    </>
  );
}

/** The unit delay of block diagrams, on the cable that closes a loop. */
function DelayMark({ route }: { readonly route: DrawnCable }) {
  const [x, y] = delayMark(route.points);
  return (
    <g className="cable-delay" transform={`translate(${x} ${y})`}>
      <rect x={-11} y={-8} width={22} height={16} rx={2} />
      <text y={3.5}>
        z<tspan dy={-3.5}>−1</tspan>
      </text>
    </g>
  );
}
