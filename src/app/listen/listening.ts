/**
 * The page's ears: keeps live sound and the take in step with the open patch and hands volts to traces and probes.
 * The audio parts are passed in, so that tests can do without a sound card.
 */

import { createStore, type StoreApi } from 'zustand/vanilla';
import type { LiveListener, LiveSound } from '../../engine/hosts/live.ts';
import type { TakeDone, Takes, TakesListener } from '../../engine/hosts/takes.ts';
import { MESSAGE } from '../../engine/plan/events.ts';
import type { TapRequest } from '../../engine/plan/plan.ts';
import { clockOutput } from '../../patch/beats.ts';
import type { BlockSpec, Catalogue } from '../../patch/blockSpec.ts';
import { DEFAULT_SECONDS, type Patch, type Place, placeName } from '../../patch/document.ts';
import { earPatch, restingEar } from '../../patch/ear.ts';
import { blockLabel } from '../../patch/label.ts';
import type { Sounds } from '../sounds/sounds.ts';
import type { Session } from '../store/session.ts';
import type { TraceHub } from '../store/traces.ts';
import type { ProbeHub } from './probeHub.ts';
import { originOf, soundDiffers, stepBetween, type TakeOrigin } from './takeSteps.ts';
import { createTakeWindows, type Look, probeTakeOf } from './takeWindows.ts';
import { columnsOfTake, TraceColumns } from './traceColumns.ts';

/** Edits follow each other within this time while something is dragged. */
const DEBOUNCE_MS = 250;

/** Fading out, and five time constants of a dc block (5 Hz) with what a change of plans takes. */
const FADE_MS = 40;
const SETTLE_MS = 300;
/** Until an ear that was taken off has come to rest. */
const REST_MS = 500;

/** More lanes than that nobody can read. */
const MOST_PROBES = 24;

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
  /** The take before the last edit: before the whole gesture where something was dragged. */
  readonly before: TakeDone | undefined;
  /** The gate ("block.port") whose rising edges are the take's beats; undefined without a clock. */
  readonly beatsOf: string | undefined;
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
  /** What of the take is looked at by the probes; undefined while nobody looks. */
  look(at: Look | undefined): void;
  /** Lists the rising edges of this gate as beats; undefined for the patch's own clock, as at first. */
  setBeat(at: Place | undefined): void;
  /** What a take that is there was rendered from. */
  patchOf(take: TakeDone): Patch | undefined;
  /**
   * Live sound is heard at this output alone; undefined for the outputs of the patch. `quietly` where it carries direct voltage: the
   * sound fades out, and in again once the dc block has settled.
   */
  hearPoint(at: Place | undefined, quietly: boolean): void;
}

type OpenTakes = Pick<Takes, 'render' | 'cancel'> & Partial<Pick<Takes, 'window'>>;

export interface ListeningParts {
  readonly session: Session;
  readonly specs: readonly BlockSpec[];
  readonly catalogue: Catalogue;
  readonly traces: TraceHub;
  readonly probes: ProbeHub;
  readonly sounds: Pick<Sounds, 'ready' | 'subscribe'>;
  readonly openLive: (specs: readonly BlockSpec[], listener: LiveListener) => Promise<LiveSound>;
  readonly openTakes: (listener: TakesListener) => OpenTakes;
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
    before: undefined,
    beatsOf: undefined,
    takeTrouble: undefined,
    takeQuality: 1,
  }));
  const { getState, setState } = store;
  const columns = new Map<string, TraceColumns>();
  let live: LiveSound | undefined;
  let input: MediaStream | undefined;
  let takes: OpenTakes | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;
  /** What the take that is there was rendered from, and the one that is asked for. */
  let origin: TakeOrigin | undefined;
  let asked: TakeOrigin | undefined;
  /** Probes that the take asked for records, and the gate chosen for the beats. */
  let probed: readonly Place[] = [];
  let beat: Place | undefined;
  const windows = createTakeWindows(() => takes, probes);
  const patches = new WeakMap<TakeDone, Patch>();
  /** Where live sound is heard, and while it is kept quiet until that is so. */
  let point: Place | undefined;
  let quietPoint = false;
  let quiet: ReturnType<typeof setTimeout> | undefined;
  /** The ear was taken off a moment ago. */
  let resting: ReturnType<typeof setTimeout> | undefined;

  const has = (patch: Patch, [id, port]: Place): boolean => {
    const type = patch.blocks.find((block) => block.id === id)?.type;
    return parts.catalogue.get(type ?? '')?.outputs.some((output) => output.id === port) ?? false;
  };

  /** What sounds live: the patch, or one point of it. */
  const livePatch = (patch: Patch): Patch => {
    if (point) return earPatch(patch, parts.catalogue, point);
    return resting ? restingEar(patch, parts.catalogue) : patch;
  };
  const applyLive = (patch: Patch, fresh = false): void => {
    if (getState().sound === 'on') live?.setPatch(livePatch(patch), taps(patch, traces.wanted()), fresh);
  };

  /** Goes over to another point behind silence, as long as a dc block takes to settle. */
  const changeQuietly = (change: () => void): void => {
    clearTimeout(quiet);
    live?.setVolume(0);
    quiet = setTimeout(() => {
      change();
      quiet = setTimeout(() => {
        quiet = undefined;
        live?.setVolume(getState().volume);
      }, SETTLE_MS);
    }, FADE_MS);
  };

  const probesOf = (patch: Patch): Place[] =>
    (patch.probes ?? [])
      .map(({ at }) => at)
      .filter((at, i, all) => has(patch, at) && all.findIndex((other) => placeName(other) === placeName(at)) === i)
      .slice(0, MOST_PROBES);

  const peakTaps = (patch: Patch, traced: Iterable<string>): TapRequest[] =>
    [...traced]
      .map((name): Place => [name.slice(0, name.indexOf('.')), name.slice(name.indexOf('.') + 1)])
      .filter((at) => has(patch, at))
      .map((at) => ({ at, peaksOnly: true }));

  /** Live: probes in full, cables that somebody draws as peaks. */
  const taps = (patch: Patch, traced: Iterable<string>): TapRequest[] => [
    ...probesOf(patch).map((at) => ({ at })),
    ...peakTaps(patch, traced),
  ];

  const beatOf = (patch: Patch): Place | undefined => (beat && has(patch, beat) ? beat : clockOutput(patch, parts.catalogue));

  /** Takes: probes and the beats in full, all other cables as peaks. Of everything there are peaks. */
  const takeTaps = (patch: Patch): TapRequest[] => {
    const beats = beatOf(patch);
    const full = new Map([...probesOf(patch), ...(beats ? [beats] : [])].map((at) => [placeName(at), at]));
    const traced = new Set(patch.cables.map(({ from }) => placeName(from)).filter((name) => !full.has(name)));
    return [...[...full.values()].map((at) => ({ at })), ...peakTaps(patch, traced)];
  };

  const liveListener: LiveListener = {
    tap({ at, peaksOnly }, frame, samples) {
      if (!peaksOnly) {
        probes.live(at, { at: frame, samples, rate: live?.context.sampleRate ?? 48000 });
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
    for (const { at, peakFrames, pairs } of take.taps) traces.publish(at, columnsOfTake(pairs, peakFrames, take.rate));
  };

  const takesListener: TakesListener = {
    progress: (share) => setState({ takeStatus: 'rendering', takeProgress: share }),
    done(take, window) {
      const step = asked ? stepBetween(origin, asked) : 'fresh';
      origin = asked;
      if (asked) patches.set(take, asked.patch);
      const before = { fresh: undefined, same: getState().before, next: getState().take }[step];
      setState({ take, before, takeStatus: 'ready', takeProgress: 1, takeTrouble: undefined });
      const names = new Set(probed.map(placeName));
      probes.take(
        take.taps.filter(({ at }) => names.has(placeName(at))).map((tap) => ({ at: tap.at, take: probeTakeOf(take, tap, window, step) })),
      );
      windows.came(take, window, before, probed);
      publishTraces(take);
    },
    refused(say) {
      setState({ takeStatus: 'refused', takeTrouble: say });
      windows.again();
    },
    window: windows.received,
  };

  const renderTake = (): void => {
    clearTimeout(timer);
    takes ??= parts.openTakes(takesListener);
    const { patch } = session.getState();
    asked = originOf(session.getState());
    const beats = beatOf(patch);
    setState({ takeStatus: 'waiting', takeProgress: 0, beatsOf: beats && placeName(beats) });
    const seconds = patch.seconds ?? DEFAULT_SECONDS;
    const rate = parts.rate ?? 48000;
    probed = probesOf(patch);
    const { take, before } = getState();
    const coming = { fresh: undefined, same: before, next: take }[stepBetween(origin, asked)];
    const request = {
      patch,
      seconds,
      rate,
      quality: getState().takeQuality,
      taps: takeTaps(patch),
      window: windows.rangeOf(rate, Math.round(seconds * rate), probed),
      edgesOf: beats,
      before: coming?.number,
      once: probed.length === 0 ? (true as const) : undefined,
    };
    takes.render(request, sounds.ready());
  };

  const follow = (patch: Patch, fresh: boolean): void => {
    applyLive(patch, fresh);
    clearTimeout(timer);
    timer = setTimeout(renderTake, DEBOUNCE_MS);
  };

  session.subscribe((now, before) => {
    const opened = now.opened.count !== before.opened.count;
    if (opened) {
      columns.clear();
      windows.clear();
      beat = undefined;
      setState({ take: undefined, before: undefined });
    }
    if (opened || soundDiffers(now.patch, before.patch) || now.patch.probes !== before.patch.probes) follow(now.patch, opened);
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
    applyLive(session.getState().patch);
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
        if (quietPoint) changeQuietly(() => undefined);
        await live.play(livePatch(patch), taps(patch, traces.wanted()));
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
      if (quiet === undefined) live?.setVolume(volume);
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
      windows.again();
    },
    patchOf: (take: TakeDone) => patches.get(take),
    hearPoint(at: Place | undefined, quietly: boolean) {
      const behindSilence = quietly || quietPoint;
      clearTimeout(resting);
      resting = undefined;
      if (point && !at && getState().sound === 'on') {
        resting = setTimeout(() => {
          resting = undefined;
          applyLive(session.getState().patch);
        }, REST_MS);
      }
      point = at;
      quietPoint = at !== undefined && quietly;
      const change = (): void => applyLive(session.getState().patch);
      if (getState().sound !== 'on') return;
      if (behindSilence) changeQuietly(change);
      else change();
    },
    look: windows.look,
    setBeat(at: Place | undefined) {
      beat = at;
      renderTake();
    },
  });
}
