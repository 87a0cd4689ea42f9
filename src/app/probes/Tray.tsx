/** Scopes and spectra of the clipped probes, on one time axis. */
import { useMemo, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { removeProbe } from '../../patch/commands/removeProbe.ts';
import { DEFAULT_SECONDS } from '../../patch/document.ts';
import { useApp, useListening, useSession } from '../app.ts';
import { Icon } from '../Icon.tsx';
import type { Lane } from './lanes.ts';
import { Pane } from './Pane.tsx';
import './probes.css';
import { createScope, type ScopeStore, spans, spanText, voltRanges } from './scopeStore.ts';
import { useLanes } from './useLanes.ts';
import { viewOf, views } from './views.ts';

export function Tray() {
  const seconds = useSession(({ patch }) => patch.seconds ?? DEFAULT_SECONDS);
  const [scope] = useState(() => createScope(seconds));
  const redraw = useRef<() => void>(() => undefined);
  const lanes = useLanes(() => redraw.current());
  if (lanes.length === 0) return <EmptyTray />;
  return (
    <div className="probes">
      <Toolbar scope={scope} lanes={lanes} seconds={seconds} />
      <ProbeNames lanes={lanes} scope={scope} />
      <Pane scope={scope} lanes={lanes} redraw={redraw} />
    </div>
  );
}

function laneName({ title, port }: Lane): string {
  return port === '' ? title : `${title}, ${port}`;
}

function EmptyTray() {
  return (
    <p className="probes-empty soft">
      No probe is clipped on. Choose "Clip a probe here" in the menu of a cable or an output, and its wave and spectrum appear here.
    </p>
  );
}

/** Beside the lanes, in the same order and of the same height. */
function ProbeNames({ lanes, scope }: { readonly lanes: readonly Lane[]; readonly scope: ScopeStore }) {
  const { session, catalogue } = useApp();
  const spectral = useStore(scope, (state) => !viewOf(state.show).rows);
  return (
    <ul className="probe-names" data-spectral={spectral}>
      {lanes.map((lane, i) => (
        <li key={lane.name}>
          <span className="probe-swatch" data-kind={lane.kind} data-dash={spectral ? i % 5 : 0} aria-hidden="true" />
          <span className="probe-name" title={laneName(lane)}>
            {lane.title}
            {lane.port !== '' && <small className="soft">{lane.port}</small>}
          </span>
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
        </li>
      ))}
    </ul>
  );
}

interface ToolbarProps {
  readonly scope: ScopeStore;
  readonly lanes: readonly Lane[];
  readonly seconds: number;
}

function Toolbar({ scope, lanes, seconds }: ToolbarProps) {
  const state = useStore(scope);
  const live = useListening(({ sound }) => sound === 'on');
  const choices = useMemo(
    () => [...new Set([...spans, seconds, state.span])].filter((s) => s <= Math.max(seconds, 12)).sort((a, b) => a - b),
    [seconds, state.span],
  );
  const wave = state.show === 'wave';
  return (
    <div className="probe-tools" role="toolbar" aria-label="Scope">
      {views.map(({ id, title }) => (
        <button key={id} type="button" aria-pressed={state.show === id} onClick={() => scope.setState({ show: id })}>
          {title}
        </button>
      ))}
      {wave && (
        <>
          <label>
            Time{' '}
            <select
              value={state.span}
              onChange={(event) => {
                const span = Number(event.target.value);
                scope.setState({ span, start: Math.max(0, Math.min(state.start, seconds - span)) });
              }}
            >
              {choices.map((span) => (
                <option key={span} value={span}>
                  {span === seconds ? `whole take (${spanText(span)})` : spanText(Number(span.toPrecision(3)))}
                </option>
              ))}
            </select>
          </label>
          <label>
            Volts{' '}
            <select
              value={voltRanges.findIndex(([, range]) => range === state.volts)}
              onChange={(event) => scope.setState({ volts: voltRanges[Number(event.target.value)]?.[1] ?? 'auto' })}
            >
              {voltRanges.map(([title], i) => (
                <option key={title} value={i}>
                  {title}
                </option>
              ))}
            </select>
          </label>
          <label>
            Trigger{' '}
            <select value={state.trigger ?? ''} onChange={(event) => scope.setState({ trigger: event.target.value || undefined })}>
              <option value="">none</option>
              {lanes.map((lane) => (
                <option key={lane.name} value={lane.name}>
                  {laneName(lane)}
                </option>
              ))}
            </select>
          </label>
          {state.trigger !== undefined && (
            <label>
              at{' '}
              <input
                className="value probe-level"
                type="number"
                step={0.1}
                min={-12}
                max={12}
                value={state.triggerVolts}
                aria-label="Trigger volts"
                onChange={(event) => scope.setState({ triggerVolts: Number(event.target.value) || 0 })}
              />{' '}
              V
            </label>
          )}
        </>
      )}
      <button type="button" aria-pressed={state.frozen} onClick={() => scope.setState({ frozen: !state.frozen })}>
        Freeze
      </button>
      <span className="soft small probe-source">{state.frozen ? 'frozen' : live ? 'live' : 'take; wheel zooms, drag moves'}</span>
    </div>
  );
}
