/**
 * Plays the rendered take, or the take before the last edit, at the same place and as loud as each other. The audio part is passed
 * in, so that tests can do without a sound card. Live sound and the take never sound at once: each fades the other out.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { PlayedSound, Player, PlayerListener } from '../../engine/hosts/player.ts';
import { fitRegion, type Region, SWITCH_SECONDS } from '../../engine/hosts/playRun.ts';
import type { LoudnessMatch } from '../../insight/whatChanged.ts';
import { fromDb } from '../../measure/levels.ts';
import type { Ear } from '../ear/ear.ts';
import type { Listening } from '../listen/listening.ts';
import type { Session } from '../store/session.ts';
import type { Comparison } from './comparison.ts';
import { type HeardSound, type HeardSounds, secondsOf } from './heardSounds.ts';

export type Heard = 'after' | 'before';

export interface TakePlayerState {
  readonly playing: boolean;
  /** Seconds of the take that go round. */
  readonly loop: Region | undefined;
  readonly heard: Heard;
  /** Both takes are heard equally loud while they are compared. */
  readonly equal: boolean;
}

export interface TakePlayer extends StoreApi<TakePlayerState> {
  /** Second of the take that is heard, or from which playing would go on. Ask in requestAnimationFrame; it is no state. */
  position(): number;
  /** Plays from a second of the take, or from where it was. Call from a click or key press. */
  play(from?: number): Promise<void>;
  pause(): void;
  /** Plays, or pauses. */
  toggle(): void;
  seek(seconds: number): void;
  /** Two seconds in any order; undefined plays to the end again. Too short a region is none. */
  setLoop(region: Region | undefined): void;
  /** Which take is heard; 'before' only where there is one. */
  hear(which: Heard): void;
  setEqual(equal: boolean): void;
  /** Highest sample of the moment, full scale 1; 0 while it does not play. */
  peak(): number;
}

export type TakeSound = Pick<Player, 'playing' | 'position' | 'peak' | 'play' | 'change' | 'stop' | 'setVolume'>;

export interface TakePlayerParts {
  readonly session: Pick<Session, 'say' | 'getState' | 'subscribe'>;
  readonly listening: Listening;
  readonly ear: Ear;
  readonly heard: HeardSounds;
  readonly comparison: Comparison;
  readonly openPlayer: (listener: PlayerListener, volume: number) => Promise<TakeSound>;
}

export function createTakePlayer({ session, listening, ear, heard, comparison, openPlayer }: TakePlayerParts): TakePlayer {
  const store = createStore<TakePlayerState>()(() => ({ playing: false, loop: undefined, heard: 'after', equal: true }));
  const { getState, setState } = store;
  let player: TakeSound | undefined;
  let opening: Promise<TakeSound> | undefined;
  /** Where it rests while nothing plays. */
  let rest = 0;
  /** Grows with each play and pause: what was asked for later wins over a device that opens slowly. */
  let asked = 0;
  /** Comparing began with the first switch since the last edit; from then on both are measured and matched. */
  let stopMeasuring: (() => void) | undefined;
  /** The last that was measured: while a gesture goes on it holds until the next is. */
  let match: LoudnessMatch | undefined;
  /** The point that is to be heard as soon as its take is there. */
  let waitsForPoint = false;

  const wanted = (): HeardSound | undefined => {
    const { after, before } = heard.getState();
    return getState().heard === 'before' ? (before ?? after) : after;
  };
  const gainOf = (): number => {
    return stopMeasuring && getState().equal && match ? fromDb(match[getState().heard]) : 1;
  };
  const soundOf = ({ left, right, rate }: HeardSound): PlayedSound => ({ left, right, rate, gain: gainOf() });
  const position = (): number => player?.position() ?? rest;
  const endComparing = (): void => {
    stopMeasuring?.();
    stopMeasuring = undefined;
    match = undefined;
  };

  const listener: PlayerListener = {
    ended() {
      rest = 0;
      setState({ playing: false });
    },
  };

  /** The sound has become another one: goes over to it at the same place, or to the beginning where that is no longer there. */
  function follow(fade?: number): void {
    const take = wanted();
    if (!player?.playing || !take) return;
    const beyond = position() >= secondsOf(take);
    player.change(soundOf(take), beyond ? (getState().loop?.[0] ?? 0) : undefined, getState().loop, fade);
  }

  const pause = (): void => {
    asked++;
    rest = position();
    setState({ playing: false });
    void player?.stop();
  };

  /** From here on, unless a loop lies elsewhere. */
  const startOf = (take: HeardSound, from: number | undefined): number => {
    const { loop } = getState();
    const at = from ?? rest;
    if (from === undefined && loop && (at < loop[0] || at >= loop[1])) return loop[0];
    return at < secondsOf(take) ? Math.max(0, at) : (loop?.[0] ?? 0);
  };

  const actions: Omit<TakePlayer, keyof StoreApi<TakePlayerState>> = {
    position,
    async play(from) {
      const take = wanted();
      if (!take) {
        session.say('The take is on its way; then it can be played.');
        return;
      }
      const mine = ++asked;
      const start = startOf(take, from);
      rest = start;
      setState({ playing: true });
      try {
        if (listening.getState().sound !== 'off') void listening.stop();
        opening ??= openPlayer(listener, listening.getState().volume);
        const opened = await opening;
        player = opened;
        if (mine !== asked) return;
        opened.setVolume(listening.getState().volume);
        await opened.play(soundOf(wanted() ?? take), start, getState().loop);
      } catch (error) {
        opening = undefined;
        setState({ playing: false });
        session.say(error instanceof Error ? error.message : 'The take could not be played.', 'refusal');
      }
    },
    pause,
    toggle: () => (getState().playing ? pause() : void actions.play()),
    seek(seconds) {
      const take = wanted();
      const at = Math.max(0, take ? Math.min(seconds, secondsOf(take)) : seconds);
      rest = at;
      if (player?.playing && take) player.change(soundOf(take), at, getState().loop);
    },
    setLoop(region) {
      const take = wanted();
      const loop = region && take ? fitRegion(region, secondsOf(take), take.rate) : undefined;
      const old = getState().loop;
      if (loop?.[0] === old?.[0] && loop?.[1] === old?.[1]) return;
      setState({ loop });
      if (!player?.playing || !take) return;
      const at = position();
      const outside = loop !== undefined && (at < loop[0] || at >= loop[1]);
      player.change(soundOf(take), outside ? loop[0] : undefined, loop);
    },
    hear(which) {
      if (which === getState().heard || (which === 'before' && !heard.getState().before)) return;
      stopMeasuring ??= comparison.want();
      match = comparison.getState().match ?? match;
      setState({ heard: which });
      follow(SWITCH_SECONDS);
    },
    setEqual(equal) {
      setState({ equal });
      follow(SWITCH_SECONDS);
    },
    peak: () => (player?.playing ? player.peak() : 0),
  };

  listening.subscribe((now, old) => {
    if (now.volume !== old.volume) player?.setVolume(now.volume);
    if (now.sound !== 'off' && old.sound === 'off' && getState().playing) pause();
    if (now.before === old.before) return;
    // After the next edit the new take is what one wants to hear, as it is, and there may be nothing before it.
    const differs = match !== undefined || getState().heard === 'before';
    endComparing();
    setState({ heard: 'after' });
    if (differs) follow(SWITCH_SECONDS);
  });
  heard.subscribe((now, old) => {
    const { loop } = getState();
    const take = now.after;
    if (take && loop) setState({ loop: fitRegion(loop, secondsOf(take), take.rate) });
    const which = getState().heard;
    if (which === 'before' && !now.before) setState({ heard: 'after' });
    if (now.after !== old.after || which === 'before') follow(SWITCH_SECONDS);
    if (waitsForPoint && ear.getState().after) {
      waitsForPoint = false;
      if (!getState().playing && listening.getState().sound === 'off') void actions.play();
    }
  });
  comparison.subscribe((now, old) => {
    if (!stopMeasuring || !now.match || now.match === old.match) return;
    match = now.match;
    follow(SWITCH_SECONDS);
  });
  ear.subscribe((now, old) => {
    // To put an ear on is to ask for sound: live where it is live, else the take.
    if (now.at !== old.at) waitsForPoint = now.at !== undefined;
  });
  session.subscribe((now, old) => {
    if (now.opened.count === old.opened.count) return;
    if (getState().playing) pause();
    rest = 0;
    endComparing();
    setState({ loop: undefined, heard: 'after' });
  });

  return Object.assign(store, actions);
}
