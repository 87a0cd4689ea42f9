/** Scopes and spectra of the clipped probes, on one time axis. */
import { useEffect, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { removeProbe } from '../../patch/commands/removeProbe.ts';
import type { Place } from '../../patch/document.ts';
import { useApp, useListening } from '../app.ts';
import { EarButton } from '../ear/EarButton.tsx';
import { Icon } from '../Icon.tsx';
import { Figures } from './Figures.tsx';
import { type Lane, laneName } from './lanes.ts';
import { Pane } from './Pane.tsx';
import './probes.css';
import './time.css';
import { Readouts } from './readouts.ts';
import { createScope, type ScopeStore } from './scopeStore.ts';
import { persists } from './sweeps.ts';
import { TimeRuler } from './TimeRuler.tsx';
import { TimeStrip } from './TimeStrip.tsx';
import { Toolbar } from './Toolbar.tsx';
import { useLanes } from './useLanes.ts';
import { useShownLanes } from './useShownLanes.ts';
import { useTakeLength } from './useTake.ts';
import { useTimeAxis } from './useTimeAxis.ts';
import { viewOf } from './views.ts';

export function Tray() {
  const length = useTakeLength();
  const [scope] = useState(() => createScope(length));
  const redraw = useRef<() => void>(() => undefined);
  const redrawStrip = useRef<() => void>(() => undefined);
  const axis = useRef<HTMLDivElement>(null);
  const live = useListening(({ sound }) => sound === 'on');
  const lanes = useLanes(() => {
    redraw.current();
    redrawStrip.current();
  });
  const time = useTimeAxis(scope, length);
  const shown = useShownLanes(scope, lanes);
  const [readouts] = useState(() => new Readouts());
  useEffect(() => () => readouts.stop(), [readouts]);
  const view = useStore(scope, ({ show }) => viewOf(show));
  const sweeping = useStore(scope, persists);
  if (lanes.length === 0) return <EmptyTray />;
  return (
    <div className="probes" data-table={view.table} data-live={live}>
      <Toolbar scope={scope} lanes={lanes} length={length} step={time.step} />
      {!live && (
        <TimeStrip scope={scope} lanes={lanes} length={length} playhead={time.playhead} step={time.step} axis={axis} redraw={redrawStrip} />
      )}
      {!view.table && <ProbeNames lanes={shown} scope={scope} readouts={readouts} />}
      <Pane
        scope={scope}
        lanes={shown}
        probes={lanes}
        readouts={readouts}
        length={length}
        focusAxis={() => axis.current?.focus({ preventScroll: true })}
        redraw={redraw}
      />
      {!live && view.timed && !sweeping && shown.length > 0 && (
        <div className="probe-over">
          <div ref={time.playhead.pane} className="time-playhead" hidden />
          <TimeRuler scope={scope} length={length} playhead={time.playhead} step={time.step} />
        </div>
      )}
      {view.table && <Figures lanes={lanes} readouts={readouts} redraw={redraw} />}
      {shown.length === 0 && <p className="probes-none soft">{view.empty}</p>}
      <p className="probe-read small">
        <span
          className="value"
          ref={(element) => {
            readouts.pointer = element;
          }}
        />
        <span
          className="soft probe-note"
          ref={(element) => {
            readouts.note = element;
          }}
        />
      </p>
    </div>
  );
}

function EmptyTray() {
  return (
    <p className="probes-empty soft">
      No probe is clipped on. Choose "Clip a probe here" in the menu of a cable or an output, and its wave, spectrum, rhythm or notes appear
      here.
    </p>
  );
}

function placeOf({ name }: Lane): Place {
  const dot = name.indexOf('.');
  return [name.slice(0, dot), name.slice(dot + 1)];
}

/** Beside the lanes, in the same order and of the same height. */
function ProbeNames({
  lanes,
  scope,
  readouts,
}: {
  readonly lanes: readonly Lane[];
  readonly scope: ScopeStore;
  readonly readouts: Readouts;
}) {
  const { session, catalogue } = useApp();
  const view = useStore(scope, ({ show }) => viewOf(show));
  return (
    <ul className="probe-names" data-spectral={!view.rows}>
      {lanes.map((lane, i) => (
        <li key={lane.name}>
          <span className="probe-swatch" data-kind={lane.kind} data-dash={view.dashed ? i % 5 : 0} aria-hidden="true" />
          <span className="probe-name" title={laneName(lane)}>
            {lane.title}
            {lane.port !== '' && <small className="soft">{lane.port}</small>}
          </span>
          <EarButton at={placeOf(lane)} name={laneName(lane)} />
          {!lane.coarse && (
            <button
              type="button"
              className="probe-off"
              aria-label={`Take the probe off ${laneName(lane)}`}
              title="Take the probe off"
              onClick={() => session.run(removeProbe(session.getState().patch, catalogue, { at: placeOf(lane) }))}
            >
              <Icon name="close" />
            </button>
          )}
          {view.say && (
            <small
              className="soft probe-says"
              ref={(element) => {
                if (element) readouts.lanes.set(lane.name, element);
                else readouts.lanes.delete(lane.name);
              }}
            />
          )}
        </li>
      ))}
    </ul>
  );
}
