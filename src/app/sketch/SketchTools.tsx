/** Buttons on the lower edge of the sketch. */
import { useStore as useFlowStore } from '@xyflow/react';
import { redoLabel, undoLabel } from '../../patch/history.ts';
import { useApp, useSession, useView } from '../app.ts';
import { FindingsButton } from '../findings/FindingsButton.tsx';
import { Icon, type IconName } from '../Icon.tsx';
import type { Actions, Flow } from './actions.ts';
import { useSketchParts } from './sketchStore.ts';

export function SketchTools({ actions, flow }: { readonly actions: Actions; readonly flow: Flow }) {
  const { session, view } = useApp();
  const { sketch } = useSketchParts();
  const undo = useSession((state) => undoLabel(state.history));
  const redo = useSession((state) => redoLabel(state.history));
  const chosen = useSession((state) => state.selection.blocks.size > 0 || state.selection.cable !== undefined);
  const cable = useSession((state) => state.selection.cable);
  const some = useSession((state) => state.patch.blocks.length > 0);
  const traces = useView((state) => state.traces);
  const zoom = useFlowStore((state) => state.transform[2]);
  return (
    <div className="sketch-tools" role="toolbar" aria-label="Sketch tools">
      <Tool icon="undo" name={undo ? `Undo: ${undo}` : 'Undo'} disabled={!undo} onClick={() => session.undo()} />
      <Tool icon="redo" name={redo ? `Redo: ${redo}` : 'Redo'} disabled={!redo} onClick={() => session.redo()} />
      <hr />
      <Tool icon="farther" className="sketch-nearer" name="Zoom out" onClick={() => void flow.zoomOut()} />
      <span className="sketch-zoom value small" aria-live="off">
        {Math.round(zoom * 100)} %
      </span>
      <Tool icon="nearer" className="sketch-nearer" name="Zoom in" onClick={() => void flow.zoomIn()} />
      <Tool icon="fit" name="Show everything" disabled={!some} onClick={() => actions.fit()} />
      <hr />
      <Tool icon="tidy" name="Tidy the sketch" disabled={!some} onClick={() => void actions.tidy()} />
      <Tool icon="trace" name="Traces on the cables" pressed={traces} onClick={() => view.setState({ traces: !traces })} />
      <button
        type="button"
        aria-label="More for what is selected"
        title="More for what is selected"
        disabled={!chosen}
        onClick={(event) => {
          const { left, top } = event.currentTarget.getBoundingClientRect();
          sketch.setState({
            menu: { target: cable === undefined ? { kind: 'blocks' } : { kind: 'cable', input: cable }, x: left, y: top },
          });
        }}
      >
        <Icon name="more" />
      </button>
      <FindingsButton />
    </div>
  );
}

interface ToolProps {
  readonly icon: IconName;
  readonly name: string;
  readonly disabled?: boolean;
  readonly pressed?: boolean;
  readonly className?: string;
  readonly onClick: () => void;
}

function Tool({ icon, name, disabled, pressed, className, onClick }: ToolProps) {
  return (
    <button type="button" className={className} aria-label={name} title={name} disabled={disabled} aria-pressed={pressed} onClick={onClick}>
      <Icon name={icon} />
    </button>
  );
}
