/** Scopes and spectra of the clipped probes, on one time axis. */
import { useEffect, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { removeProbe } from '../../patch/commands/removeProbe.ts';
import { DEFAULT_SECONDS } from '../../patch/document.ts';
import { useApp, useSession } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { Figures } from './Figures.tsx';
import { type Lane, laneName } from './lanes.ts';
import { Pane } from './Pane.tsx';
import './probes.css';
import { Readouts } from './readouts.ts';
import { createScope, type ScopeStore } from './scopeStore.ts';
import { Toolbar } from './Toolbar.tsx';
import { useLanes } from './useLanes.ts';
import { useShownLanes } from './useShownLanes.ts';
import { viewOf } from './views.ts';

export function Tray() {
  const seconds = useSession(({ patch }) => patch.seconds ?? DEFAULT_SECONDS);
  const [scope] = useState(() => createScope(seconds));
  const redraw = useRef<() => void>(() => undefined);
  const lanes = useLanes(() => redraw.current());
  const shown = useShownLanes(scope, lanes);
  const [readouts] = useState(() => new Readouts());
  useEffect(() => () => readouts.stop(), [readouts]);
  const view = useStore(scope, ({ show }) => viewOf(show));
  if (lanes.length === 0) return <EmptyTray />;
  return (
    <div className="probes" data-table={view.table}>
      <Toolbar scope={scope} lanes={lanes} seconds={seconds} />
      {!view.table && <ProbeNames lanes={shown} scope={scope} readouts={readouts} />}
      <Pane scope={scope} lanes={shown} probes={lanes} readouts={readouts} redraw={redraw} />
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
            {view.say && (
              <small
                className="soft probe-says"
                ref={(element) => {
                  if (element) readouts.lanes.set(lane.name, element);
                  else readouts.lanes.delete(lane.name);
                }}
              />
            )}
          </span>
          {!lane.coarse && (
            <button
              type="button"
              className="probe-off"
              aria-label={`Take the probe off ${laneName(lane)}`}
              title="Take the probe off"
              onClick={() => {
                const dot = lane.name.indexOf('.');
                session.run(removeProbe(session.getState().patch, catalogue, { at: [lane.name.slice(0, dot), lane.name.slice(dot + 1)] }));
              }}
            >
              <Icon name="close" />
            </button>
          )}
        </li>
      ))}
    </ul>
  );
}
