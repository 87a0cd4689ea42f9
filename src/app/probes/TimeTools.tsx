/** Time by buttons: nearer and farther, beat by beat, round and round. */
import { useMemo } from 'react';
import { useStore } from 'zustand';
import { useApp, useListening, useTakePlayer } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { LEAST_SAMPLES, LEAST_SPAN, type ScopeStore, spans, spanText, zoomCentre, zoomed } from './scopeStore.ts';
import { useBeats, useGates } from './useTake.ts';

/** One press of a button or key. */
export const ZOOM_STEP = 2;

export interface TimeToolsProps {
  readonly scope: ScopeStore;
  /** Seconds of the take. */
  readonly length: number;
  readonly step: (direction: 1 | -1) => void;
}

const spanTitle = (span: number, length: number): string => {
  if (span === length) return `all (${spanText(span)})`;
  return span === LEAST_SPAN ? `${LEAST_SAMPLES} samples` : spanText(Number(span.toPrecision(3)));
};

/** How much time is on the screen. At either end the button stays where it is, so that the keyboard's focus does. */
export function ZoomTools({ scope, length }: Omit<TimeToolsProps, 'step'>) {
  const { takePlayer } = useApp();
  const { span, start } = useStore(scope);
  const choices = useMemo(
    () =>
      [...new Set([LEAST_SPAN, ...spans, length, span])]
        .filter((s) => s <= Math.max(length, 12))
        .sort((a, b) => a - b)
        .map((s) => [s, spanTitle(s, length)] as const),
    [length, span],
  );
  const centre = (): number => zoomCentre({ span, start }, takePlayer.position());
  const zoom = (factor: number): void => scope.setState(zoomed({ span, start }, factor, centre(), length));
  return (
    <fieldset className="time-zoom">
      <legend className="unseen">Time on the screen</legend>
      <button
        type="button"
        aria-label="Show more time"
        title="Show more time (-)"
        aria-disabled={span >= length}
        onClick={() => zoom(ZOOM_STEP)}
      >
        <Icon name="farther" />
      </button>
      <select
        aria-label="Time"
        value={span}
        onChange={(event) => {
          const next = Number(event.target.value);
          scope.setState(zoomed({ span, start }, next / span, centre(), Math.max(next, length)));
        }}
      >
        {choices.map(([value, title]) => (
          <option key={value} value={value}>
            {title}
          </option>
        ))}
      </select>
      <button
        type="button"
        aria-label="Show less time"
        title="Show less time (+)"
        aria-disabled={span <= LEAST_SPAN}
        onClick={() => zoom(1 / ZOOM_STEP)}
      >
        <Icon name="nearer" />
      </button>
    </fieldset>
  );
}

/** Beat by beat, along the patch's clock or any other gate. */
export function BeatTools({ step }: Pick<TimeToolsProps, 'step'>) {
  const { listening } = useApp();
  const beats = useBeats();
  const beatsOf = useListening((state) => state.beatsOf);
  const take = useListening((state) => state.take);
  const gates = useGates();
  if (gates.length === 0) return <span className="soft small">no clock or gate to step along</span>;
  const still = take && beatsOf && !beats;
  return (
    <fieldset className="time-beats">
      <legend className="unseen">Beats</legend>
      <button
        type="button"
        aria-label="Previous beat"
        title="Previous beat (Shift and left arrow)"
        disabled={!beats}
        onClick={() => step(-1)}
      >
        <Icon name="previous" />
      </button>
      <select
        aria-label="Beats from"
        value={beatsOf ?? ''}
        onChange={(event) => {
          const dot = event.target.value.indexOf('.');
          listening.setBeat(dot < 0 ? undefined : [event.target.value.slice(0, dot), event.target.value.slice(dot + 1)]);
        }}
      >
        {!beatsOf && <option value="">no clock: choose a gate</option>}
        {gates.map(([name, title]) => (
          <option key={name} value={name}>
            {title}
          </option>
        ))}
      </select>
      <button type="button" aria-label="Next beat" title="Next beat (Shift and right arrow)" disabled={!beats} onClick={() => step(1)}>
        <Icon name="next" />
      </button>
      {still && <span className="soft small">never rises in this take</span>}
    </fieldset>
  );
}

/** A region of the take that goes round. */
export function LoopTools({ scope, length }: Omit<TimeToolsProps, 'step'>) {
  const { takePlayer } = useApp();
  const loop = useTakePlayer((state) => state.loop);
  const take = useListening((state) => state.take);
  const start = useStore(scope, (state) => state.start);
  const span = useStore(scope, (state) => state.span);
  const same = loop && Math.abs(loop[0] - start) < 1e-6 && Math.abs(loop[1] - start - span) < 1e-6;
  return (
    <>
      <button
        type="button"
        disabled={!take || span >= length}
        aria-disabled={same}
        title="Playing goes round in what is shown"
        onClick={() => takePlayer.setLoop([start, start + span])}
      >
        Loop what is shown
      </button>
      {loop && (
        <button type="button" onClick={() => takePlayer.setLoop(undefined)}>
          No loop
        </button>
      )}
    </>
  );
}
