/**
 * The page's ears: keeps live sound and the take in step with the open patch and hands volts to traces and probes.
 * The audio parts are passed in, so that tests can do without a sound card.
 */

import { createStore, type StoreApi } from 'zustand/vanilla';
import type { LiveListener, LiveSound } from '../../engine/hosts/live.ts';
import type { TakeDone, Takes, TakesListener } from '../../engine/hosts/takes.ts';
import { MESSAGE } from '../../engine/plan/events.ts';
import type { TapRequest } from '../../engine/plan/plan.ts';
import type { BlockSpec, Catalogue } from '../../patch/blockSpec.ts';
import { DEFAULT_SECONDS, type Patch, type Place, placeName } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import type { Sounds } from '../sounds/sounds.ts';
import type { Session } from '../store/session.ts';
import type { TraceHub } from '../store/traces.ts';
import type { ProbeHub } from './probeHub.ts';
import { columnsOfTake, TraceColumns } from './traceColumns.ts';

/** Edits follow each other within this time while something is dragged. */
const DEBOUNCE_MS = 250;

/** The live sound runs at quality 1. */
export type Quality = 1 | 2 | 4 | 8;

export type TakeStatus = 'none' | 'waiting' | 'rendering' | 'ready' | 'refused';

export interface ListeningState {
  readonly sound: 'off' | 'starting' | 'on';
  /** Volume behind the output blocks, 0..1. */
  readonly volume: number;
  /** Share of the time that the engine needs. */
  readonly load: number;
  /** Seconds from a control to the loudspeaker. */
  readonly latency: number;
  /** Why there is no sound, or which block went wrong: one sentence. */
  readonly trouble: string | undefined;
  readonly takeStatus: TakeStatus;
  /** 0..1 while a take renders for longer than a moment. */
  readonly takeProgress: number;
  readonly take: TakeDone | undefined;
  /** Oversampling of the whole engine in takes. */
  readonly takeQuality: Quality;
  /** Why the take was refused. */
  readonly takeTrouble: string | undefined;
}

export interface Listening extends StoreApi<ListeningState> {
  /** Call from a click or key press. */
  listen(): Promise<void>;
  stop(): Promise<void>;
  setVolume(volume: number): void;
  /** The microphone or line input for the live inputs of the patch; undefined takes it off. Throws where the browser cannot connect it. */
  setInput(stream: MediaStream | undefined): void;
  /** Notes, bend and wheel (see MESSAGE in engine/plan/events.ts). */
  play(code: number, a: number, b: number): void;
  /** Presses a block by hand, or lets it go. */
  press(block: string, down: boolean): void;
  /** Highest sample of the moment, full scale 1; 0 while it is silent. */
  peak(): number;
  renderTake(): void;
  cancelTake(): void;
  setTakeQuality(quality: Quality): void;
}

export interface ListeningParts {
  readonly session: Session;
  readonly specs: readonly BlockSpec[];
  readonly catalogue: Catalogue;
  readonly traces: TraceHub;
  readonly probes: ProbeHub;
  readonly sounds: Pick<Sounds, 'ready' | 'subscribe'>;
  readonly openLive: (specs: readonly BlockSpec[], listener: LiveListener) => Promise<LiveSound>;
  readonly openTakes: (listener: TakesListener) => Pick<Takes, 'render' | 'cancel'>;
  readonly rate?: number;
}

/** Half of full scale: a modest level to begin with. */
export const FIRST_VOLUME = 0.5;

export function createListening(parts: ListeningParts): Listening {
  const { session, traces, probes, sounds } = parts;
  const store = createStore<ListeningState>()(() => ({
    sound: 'off',
    volume: FIRST_VOLUME,
    load: 0,
    latency: 0,
    trouble: undefined,
    takeStatus: 'none',
    takeProgress: 0,
    take: undefined,
    takeTrouble: undefined,
    takeQuality: 1,
  }));
  const { getState, setState } = store;
  const columns = new Map<string, TraceColumns>();
  let live: LiveSound | undefined;
  let input: MediaStream | undefined;
  let takes: Pick<Takes, 'render' | 'cancel'> | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;

  const has = (patch: Patch, [id, port]: Place): boolean => {
    const type = patch.blocks.find((block) => block.id === id)?.type;
    return parts.catalogue.get(type ?? '')?.outputs.some((output) => output.id === port) ?? false;
  };

  /** Probes in full, cables that somebody draws as peaks. */
  const taps = (patch: Patch, traced: Iterable<string>): TapRequest[] => {
    const frames = (patch.probes ?? [])
      .map(({ at }) => at)
      .filter((at, i, all) => has(patch, at) && all.findIndex((other) => placeName(other) === placeName(at)) === i);
    const peaks = [...traced]
      .map((name): Place => [name.slice(0, name.indexOf('.')), name.slice(name.indexOf('.') + 1)])
      .filter((at) => has(patch, at));
    return [...frames.slice(0, 24).map((at) => ({ at })), ...peaks.map((at) => ({ at, peaksOnly: true }))];
  };

  const liveListener: LiveListener = {
    tap({ at, peaksOnly }, frame, samples) {
      if (!peaksOnly) {
        probes.publish(at, 'live', { at: frame, samples, rate: live?.context.sampleRate ?? 48000 });
        return;
      }
      const name = placeName(at);
      const trace = columns.get(name) ?? new TraceColumns();
      columns.set(name, trace);
      trace.push(samples[0] as number, samples[1] as number);
      traces.publish(at, trace);
    },
    load: (share) => setState({ load: share }),
    fault(block, say) {
      const known = session.getState().patch.blocks.find(({ id }) => id === block);
      const label = known ? blockLabel(known, parts.catalogue.get(known.type)) : block;
      setState({ trouble: label ? `${label}: ${say}` : say });
      session.say(label ? `${label}: ${say}` : say, 'refusal');
      if (!block) setState({ sound: 'off' });
    },
    refused: (say) => setState({ trouble: say }),
  };

  /** While nothing sounds, the cables show the end of the take. */
  const publishTraces = (take: TakeDone): void => {
    if (getState().sound === 'on') return;
    for (const { at, peakFrames, samples } of take.taps) {
      if (peakFrames > 0) traces.publish(at, columnsOfTake(samples, peakFrames, take.rate));
    }
  };

  const takesListener: TakesListener = {
    progress: (share) => setState({ takeStatus: 'rendering', takeProgress: share }),
    done(take) {
      setState({ take, takeStatus: 'ready', takeProgress: 1, takeTrouble: undefined });
      for (const { at, peakFrames, samples } of take.taps) {
        if (peakFrames === 0) probes.publish(at, 'take', { at: 0, samples, rate: take.rate });
      }
      publishTraces(take);
    },
    refused: (say) => setState({ takeStatus: 'refused', takeTrouble: say }),
  };

  const renderTake = (): void => {
    clearTimeout(timer);
    takes ??= parts.openTakes(takesListener);
    const { patch } = session.getState();
    setState({ takeStatus: 'waiting', takeProgress: 0 });
    const request = {
      patch,
      seconds: patch.seconds ?? DEFAULT_SECONDS,
      rate: parts.rate ?? 48000,
      quality: getState().takeQuality,
      taps: taps(patch, new Set(patch.cables.map(({ from }) => placeName(from)))),
    };
    takes.render(request, sounds.ready());
  };

  const follow = (patch: Patch, fresh: boolean): void => {
    if (getState().sound === 'on') live?.setPatch(patch, taps(patch, traces.wanted()), fresh);
    clearTimeout(timer);
    timer = setTimeout(renderTake, DEBOUNCE_MS);
  };

  session.subscribe((now, before) => {
    const opened = now.opened.count !== before.opened.count;
    if (opened) columns.clear();
    if (opened || soundDiffers(now.patch, before.patch)) follow(now.patch, opened);
  });
  let known = sounds.ready();
  sounds.subscribe(() => {
    if (sounds.ready() === known) return;
    known = sounds.ready();
    live?.setSounds(known);
    follow(session.getState().patch, false);
  });
  traces.onWanted((wanted) => {
    for (const name of columns.keys()) if (!wanted.has(name)) columns.delete(name);
    const { patch } = session.getState();
    if (getState().sound === 'on') live?.setPatch(patch, taps(patch, wanted));
    const { take } = getState();
    if (take) publishTraces(take);
  });

  async function openLive(): Promise<LiveSound> {
    const opened = await parts.openLive(parts.specs, liveListener);
    opened.setSounds(sounds.ready());
    if (input) opened.setInput(input);
    return opened;
  }

  return Object.assign(store, {
    async listen() {
      if (getState().sound !== 'off') return;
      setState({ sound: 'starting', trouble: undefined });
      try {
        live ??= await openLive();
        live.setVolume(getState().volume);
        const { patch } = session.getState();
        columns.clear();
        await live.play(patch, taps(patch, traces.wanted()));
        setState({ sound: 'on', latency: live.latency });
      } catch (error) {
        const say = error instanceof Error ? error.message : 'The sound could not be started.';
        setState({ sound: 'off', trouble: say });
        session.say(say, 'refusal');
      }
    },
    async stop() {
      if (getState().sound !== 'on') return;
      setState({ sound: 'off', load: 0 });
      await live?.stop();
    },
    setVolume(volume: number) {
      setState({ volume });
      live?.setVolume(volume);
    },
    setInput(stream: MediaStream | undefined) {
      input = stream;
      live?.setInput(stream);
    },
    play: (code: number, a: number, b: number) => live?.message(code, a, b),
    press: (block: string, down: boolean) => live?.message(MESSAGE.press, down ? 1 : 0, 0, block),
    peak: () => (getState().sound === 'on' ? (live?.peak() ?? 0) : 0),
    renderTake,
    setTakeQuality(takeQuality: Quality) {
      setState({ takeQuality });
      renderTake();
    },
    cancelTake() {
      clearTimeout(timer);
      takes?.cancel();
      setState({ takeStatus: 'none', takeProgress: 0 });
    },
  });
}

/** Do two documents differ in what is heard or recorded? Texts and places on the sketch do not count. */
export function soundDiffers(a: Patch, b: Patch): boolean {
  if (a === b) return false;
  if (
    a.cables !== b.cables ||
    a.seed !== b.seed ||
    a.seconds !== b.seconds ||
    a.probes !== b.probes ||
    a.score !== b.score ||
    a.recordings !== b.recordings ||
    a.moves !== b.moves
  )
    return true;
  if (a.blocks === b.blocks) return false;
  if (a.blocks.length !== b.blocks.length) return true;
  const old = new Map(b.blocks.map((block) => [block.id, block]));
  return a.blocks.some((block) => old.get(block.id)?.settings !== block.settings || old.get(block.id)?.type !== block.type);
}
