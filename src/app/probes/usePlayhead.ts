/** Follows the playing take: moves lines over the drawings and turns the page, past React, as often as the screen is drawn. */
import { useCallback, useEffect, useRef } from 'react';
import { useApp, useTakePlayer } from '../app.ts';
import { type ScopeStore, within } from './scopeStore.ts';
import { viewOf } from './views.ts';

/** While nothing plays somebody else may still move the playhead. */
const REST_MS = 250;
/** A window shorter than that is not turned like a page: it would flash. */
const LEAST_PAGE = 0.5;

export interface Playhead {
  /** For the line over the overview, which is as wide as the take is long. */
  readonly overview: (line: HTMLElement | null) => void;
  /** For the line over the pane, and for the slider that stands for the playhead. */
  readonly pane: (line: HTMLElement | null) => void;
  readonly slider: (element: HTMLElement | null) => void;
  /** Shows at once that it was moved. */
  readonly moved: () => void;
}

export const secondsText = (seconds: number): string => `${seconds.toFixed(3)} s`;

export function usePlayhead(scope: ScopeStore, length: number): Playhead {
  const { takePlayer, listening } = useApp();
  const playing = useTakePlayer((state) => state.playing);
  const lines = useRef<{ overview: HTMLElement | null; pane: HTMLElement | null; slider: HTMLElement | null }>({
    overview: null,
    pane: null,
    slider: null,
  });
  const last = useRef(0);

  const show = useCallback(
    (aloud: boolean) => {
      const at = takePlayer.position();
      const { start, span, show: picture } = scope.getState();
      const there = listening.getState().take !== undefined;
      put(lines.current.overview, there ? at / length : -1);
      const timed = viewOf(picture).timed && listening.getState().sound !== 'on';
      put(lines.current.pane, there && timed ? (at - start) / span : -1);
      const { slider } = lines.current;
      const text = secondsText(at);
      // While it plays, a screen reader that stands on it would read on and on.
      if (aloud && slider && !takePlayer.getState().playing && slider.getAttribute('aria-valuetext') !== text) {
        slider.setAttribute('aria-valuenow', at.toFixed(3));
        slider.setAttribute('aria-valuetext', text);
      }
      // Turns the page only where it was on the page before: who looks elsewhere is left alone.
      const was = last.current;
      last.current = at;
      const onPage = (second: number): boolean => second >= start && second <= start + span;
      if (takePlayer.getState().playing && span >= LEAST_PAGE && onPage(was) && !onPage(at))
        scope.setState({ start: within(at, span, length) });
    },
    [takePlayer, listening, scope, length],
  );

  useEffect(() => {
    show(true);
    const stop = scope.subscribe(() => show(false));
    const timer = setInterval(() => show(true), REST_MS);
    let frame = 0;
    const follow = (): void => {
      show(false);
      frame = requestAnimationFrame(follow);
    };
    if (playing) follow();
    return () => {
      stop();
      clearInterval(timer);
      cancelAnimationFrame(frame);
    };
  }, [show, scope, playing]);

  const keep = (which: keyof typeof lines.current) => (element: HTMLElement | null) => {
    lines.current[which] = element;
    if (element) show(true);
  };
  return { overview: keep('overview'), pane: keep('pane'), slider: keep('slider'), moved: () => show(true) };
}

/** `share` of the way across; hidden where that is off the screen. */
function put(line: HTMLElement | null, share: number): void {
  if (!line) return;
  line.hidden = !(share >= 0 && share <= 1);
  line.style.left = `${share * 100}%`;
}
