/** The canvas with its layers: paper, cables, blocks, the cable in hand, tools and menus. */
import { Background, BackgroundVariant, ReactFlow, SelectionMode, useReactFlow, ViewportPortal } from '@xyflow/react';
import { type MouseEvent, useEffect, useMemo, useRef } from 'react';
import { GRID } from '../../sheet/drawing/geometry.ts';
import { useApp, useHighlight, useSession, useView } from '../app.ts';
import { createActions } from './actions.ts';
import { BlockNode } from './BlockNode.tsx';
import { CableLayer } from './CableLayer.tsx';
import { CablingLayer } from './CablingLayer.tsx';
import type { BlockFlowNode } from './flowNodes.ts';
import { portOfElement } from './focus.ts';
import { GhostLayer } from './GhostLayer.tsx';
import { Palette } from './Palette.tsx';
import { SketchMenu } from './SketchMenu.tsx';
import { SketchTools } from './SketchTools.tsx';
import { type MenuTarget, useSketch, useSketchParts } from './sketchStore.ts';
import { TraceLayer } from './TraceLayer.tsx';
import { useBlockDrag } from './useBlockDrag.ts';
import { useFlowNodes } from './useFlowNodes.ts';
import { usePortGestures } from './usePortGestures.ts';
import { useSketchHandle } from './useSketchHandle.ts';
import { useSketchKeys } from './useSketchKeys.ts';
import { useTouch } from './useTouch.ts';
import '@xyflow/react/dist/base.css';
import '../style/sketch.css';

const nodeTypes = { block: BlockNode };
const snapGrid: [number, number] = [GRID, GRID];
const centred: [number, number] = [0.5, 0.5];
const middleButton = [1];
const noEdges: never[] = [];

export function Paper() {
  const app = useApp();
  const { session, view } = app;
  const parts = useSketchParts();
  const { sketch } = parts;
  const paper = useRef<HTMLElement>(null);
  const flow = useReactFlow<BlockFlowNode>();
  const actions = useMemo(() => createActions(app, parts, flow, () => paper.current), [app, parts, flow]);
  const { nodes, onNodesChange } = useFlowNodes();
  const drag = useBlockDrag(actions);
  const touch = useTouch(paper);
  const traces = useView((state) => state.traces);
  const cabling = useSketch((state) => state.cabling?.from.side);
  const pointedAt = useHighlight(({ blocks, cables }) => blocks.size + cables.size > 0);
  const empty = useSession((state) => state.patch.blocks.length === 0);
  usePortGestures(paper, flow, actions);
  useSketchKeys(paper, flow, actions);
  useSketchHandle(paper, flow, actions);
  useShowAllOfNew(actions.fit);

  const openMenu = (event: MouseEvent, target: MenuTarget): void => {
    event.preventDefault();
    const fromKeys = event.clientX === 0 && event.clientY === 0;
    const { right, top } = (event.target as Element).getBoundingClientRect();
    sketch.setState({ cabling: undefined, menu: { target, x: fromKeys ? right : event.clientX, y: fromKeys ? top : event.clientY } });
  };

  const onContextMenu = (event: MouseEvent): void => {
    const element = event.target as Element;
    if (element.closest('input, .sketch-tools, [role="menu"], [role="dialog"]')) return;
    const port = portOfElement(element.closest('.port'));
    const block = element.closest<HTMLElement>('.react-flow__node')?.dataset.id;
    const cable = element.closest<SVGElement>('.cable')?.dataset.cable;
    if (port) openMenu(event, { kind: 'port', port });
    else if (block) {
      if (!session.getState().selection.blocks.has(block)) session.select([block]);
      openMenu(event, { kind: 'blocks' });
    } else if (cable) {
      session.selectCable(cable);
      openMenu(event, { kind: 'cable', input: cable });
    } else {
      const { x, y } = flow.screenToFlowPosition({ x: event.clientX, y: event.clientY });
      openMenu(event, { kind: 'paper', at: [x, y] });
    }
  };

  return (
    <section
      ref={paper}
      className="sketch"
      aria-label="Drawing"
      data-cabling={cabling}
      data-lit={pointedAt || undefined}
      onContextMenu={onContextMenu}
    >
      <ReactFlow
        nodes={nodes}
        edges={noEdges}
        nodeTypes={nodeTypes}
        onNodesChange={onNodesChange}
        onNodeDrag={drag.onNodeDrag}
        onNodeDragStop={drag.onNodeDragStop}
        onPaneClick={() => session.clearSelection()}
        nodeOrigin={centred}
        snapToGrid
        snapGrid={snapGrid}
        nodeDragThreshold={3}
        nodesConnectable={false}
        edgesFocusable={false}
        disableKeyboardA11y
        deleteKeyCode={null}
        selectionKeyCode={null}
        multiSelectionKeyCode="Shift"
        selectionOnDrag={!touch}
        selectionMode={SelectionMode.Partial}
        panOnDrag={touch ? true : middleButton}
        panOnScroll
        zoomOnDoubleClick={false}
        elevateNodesOnSelect={false}
        selectNodesOnDrag
        minZoom={0.1}
        maxZoom={3}
        ariaLabelConfig={ariaLabels}
      >
        <Background variant={BackgroundVariant.Dots} gap={GRID * 3} size={1.4} />
        <ViewportPortal>
          <CableLayer />
          <CablingLayer />
          <GhostLayer />
        </ViewportPortal>
      </ReactFlow>
      {traces && <TraceLayer />}
      {empty && (
        <div className="sketch-empty">
          <p>
            Choose a function from the list
            <span className="keys-only">
              , drag one here, or press <kbd>/</kbd> and type its name
            </span>
            .
          </p>
          <button type="button" onClick={() => view.setState({ palette: true })}>
            Place a function
          </button>
        </div>
      )}
      <SketchTools actions={actions} flow={flow} />
      <SketchMenu actions={actions} />
      <Palette actions={actions} />
    </section>
  );
}

const ariaLabels = {
  'node.a11yDescription.default':
    'Arrow keys move it, Tab goes to its ports, Enter to its settings, F2 renames it, Delete removes it, the menu key shows all that can be done.',
};

/** The document is shown whole when the sketch appears and when another one is opened. */
function useShowAllOfNew(fit: () => void): void {
  const { session } = useApp();
  useEffect(() => {
    let frame = requestAnimationFrame(fit);
    const stop = session.subscribe((now, before) => {
      if (now.opened !== before.opened) frame = requestAnimationFrame(fit);
    });
    return () => {
      stop();
      cancelAnimationFrame(frame);
    };
  }, [session, fit]);
}
