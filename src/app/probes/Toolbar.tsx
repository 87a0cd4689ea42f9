/** How the probes are looked at: which picture, how much time, how many volts, from where. */
import { useStore } from 'zustand';
import { useListening } from '../app.ts';
import { HeardSwitch, PlayTake } from '../takePlayer/TakeControls.tsx';
import { chosenPair } from './drawXY.ts';
import { type Lane, laneName } from './lanes.ts';
import { persistences, type ScopeStore, spanText, voltRanges } from './scopeStore.ts';
import { BeatTools, LoopTools, ZoomTools } from './TimeTools.tsx';
import { viewOf, views } from './views.ts';

export interface ToolbarProps {
  readonly scope: ScopeStore;
  readonly lanes: readonly Lane[];
  /** Seconds of the take. */
  readonly length: number;
  readonly step: (direction: 1 | -1) => void;
}

export function Toolbar({ scope, lanes, length, step }: ToolbarProps) {
  const state = useStore(scope);
  const live = useListening(({ sound }) => sound === 'on');
  const view = viewOf(state.show);
  const probes = lanes.map((lane) => [lane.name, laneName(lane)] as const);
  const pair = chosenPair(lanes, state);
  const rangeNames = voltRanges.map(([title], i) => [String(i), title] as const);
  return (
    <div className="probe-tools" role="toolbar" aria-label="Scope">
      <fieldset className="probe-views">
        <legend className="unseen">Picture</legend>
        {views.map(({ id, title }) => (
          <button key={id} type="button" aria-pressed={state.show === id} onClick={() => scope.setState({ show: id })}>
            {title}
          </button>
        ))}
      </fieldset>
      {live && !view.liveFrames && <ZoomTools scope={scope} length={length} />}
      {!live && <PlayTake />}
      {!live && <HeardSwitch />}
      {!live && <BeatTools step={step} />}
      {!live && <LoopTools scope={scope} length={length} />}
      {(state.show === 'wave' || state.show === 'xy') && (
        <Choice
          title="Volts"
          value={String(voltRanges.findIndex(([, range]) => range === state.volts))}
          choices={rangeNames}
          choose={(value) => scope.setState({ volts: voltRanges[Number(value)]?.[1] ?? 'auto' })}
        />
      )}
      {state.show === 'xy' && (
        <>
          <Choice title="Across" value={pair?.[0] ?? ''} choices={probes} choose={(across) => scope.setState({ across })} />
          <Choice title="Up" value={pair?.[1] ?? ''} choices={probes} choose={(up) => scope.setState({ up })} />
        </>
      )}
      {state.show === 'wave' && <TriggerChoice scope={scope} probes={probes} />}
      <button type="button" aria-pressed={state.frozen} onClick={() => scope.setState({ frozen: !state.frozen })}>
        Freeze
      </button>
      <span className="soft small probe-source" title={live || !view.timed ? undefined : 'The wheel zooms, dragging moves'}>
        {state.frozen ? 'frozen' : live ? 'live' : 'take'}
      </span>
    </div>
  );
}

function TriggerChoice({ scope, probes }: { readonly scope: ScopeStore; readonly probes: readonly (readonly [string, string])[] }) {
  const { trigger, triggerVolts, persistence } = useStore(scope);
  return (
    <>
      <Choice
        title="Trigger"
        value={trigger ?? ''}
        choices={[['', 'none'], ...probes]}
        choose={(value) => scope.setState({ trigger: value || undefined })}
      />
      {trigger !== undefined && (
        <>
          <label>
            at{' '}
            <input
              className="value probe-level"
              type="number"
              step={0.1}
              min={-12}
              max={12}
              value={triggerVolts}
              aria-label="Trigger volts"
              onChange={(event) => scope.setState({ triggerVolts: Number(event.target.value) || 0 })}
            />{' '}
            V
          </label>
          <Choice
            title="Persistence"
            value={String(persistence)}
            choices={persistences.map((s) => [String(s), s === 0 ? 'none' : spanText(s)])}
            choose={(value) => scope.setState({ persistence: Number(value) })}
          />
        </>
      )}
    </>
  );
}

interface ChoiceProps {
  readonly title: string;
  readonly value: string;
  /** Value and word. */
  readonly choices: readonly (readonly [string, string])[];
  readonly choose: (value: string) => void;
}

function Choice({ title, value, choices, choose }: ChoiceProps) {
  return (
    <label>
      {title}{' '}
      <select value={value} onChange={(event) => choose(event.target.value)}>
        {choices.map(([id, word]) => (
          <option key={id} value={id}>
            {word}
          </option>
        ))}
      </select>
    </label>
  );
}
