/** The page's stores around real blocks, with audio parts that only note what they are told: takes come when the test says so. */
import { vi } from 'vitest';
import { createApp } from '../../src/app/createApp.ts';
import type { TakeSound } from '../../src/app/takePlayer/takePlayer.ts';
import { specs } from '../../src/blocks/specs.gen.ts';
import { symbols } from '../../src/blocks/symbols.gen.ts';
import type { LiveSound } from '../../src/engine/hosts/live.ts';
import type { PlayedSound, PlayerListener } from '../../src/engine/hosts/player.ts';
import type { TakeDone, TakesListener } from '../../src/engine/hosts/takes.ts';
import type { TakeRequest } from '../../src/engine/protocol.ts';
import type { Patch } from '../../src/patch/document.ts';

/** Plays nothing; its place is where the test puts it. */
export class FakePlayer implements TakeSound {
  playing = false;
  at = 0;
  volume: number;
  readonly told: { what: 'play' | 'change' | 'stop'; sound?: PlayedSound; from?: number | undefined; loop?: unknown }[] = [];
  readonly listener: PlayerListener;

  constructor(listener: PlayerListener, volume: number) {
    this.listener = listener;
    this.volume = volume;
  }

  position = (): number | undefined => (this.playing ? this.at : undefined);
  peak = (): number => 0.25;
  async play(sound: PlayedSound, from: number, loop: unknown): Promise<void> {
    this.playing = true;
    this.at = from;
    this.told.push({ what: 'play', sound, from, loop });
  }
  change(sound: PlayedSound, from: number | undefined, loop: unknown): void {
    this.at = from ?? this.at;
    this.told.push({ what: 'change', sound, from, loop });
  }
  async stop(): Promise<void> {
    this.playing = false;
    this.told.push({ what: 'stop' });
  }
  setVolume(volume: number): void {
    this.volume = volume;
  }
  end(): void {
    this.playing = false;
    this.listener.ended();
  }
}

export function playedApp(patch: Patch) {
  const players: FakePlayer[] = [];
  const requests: Omit<TakeRequest, 'number'>[] = [];
  const pointRequests: Omit<TakeRequest, 'number'>[] = [];
  const live = {
    context: { sampleRate: 48000 },
    latency: 0,
    setVolume: vi.fn(),
    setPatch: vi.fn(),
    setSounds: vi.fn(),
    play: vi.fn(async () => undefined),
    stop: vi.fn(async () => undefined),
    peak: () => 0,
    message: vi.fn(),
  };
  /** The patch's takes; then, once an ear is on, those of the point. */
  const openers: { readonly listener: TakesListener; readonly requests: Omit<TakeRequest, 'number'>[] }[] = [];
  const app = createApp({
    specs,
    symbols,
    patch,
    sound: {
      openLive: async () => live as unknown as LiveSound,
      openTakes: (listener) => {
        const asked = openers.length === 0 ? requests : pointRequests;
        openers.push({ listener, requests: asked });
        return { render: (request) => void asked.push(request), cancel: () => undefined };
      },
      openPlayer: async (listener, volume) => {
        const player = new FakePlayer(listener, volume);
        players.push(player);
        return player;
      },
    },
  });
  const done = (left: Float32Array<ArrayBuffer>, rate: number, taps: TakeDone['taps'] = []): TakeDone => ({
    type: 'done',
    number: 0,
    rate,
    frames: left.length,
    left,
    right: left.slice(),
    taps,
    edges: new Int32Array(0),
    faults: [],
    realtimeRatio: 100,
  });
  return {
    app,
    live,
    players,
    requests,
    pointRequests,
    /** The take asked for last comes: `left` on both sides, and what was recorded. */
    deliver(left: Float32Array<ArrayBuffer>, taps: TakeDone['taps'] = [], rate = 48000): TakeDone {
      app.listening.renderTake();
      const take = done(left, rate, taps);
      openers[0]?.listener.done(take);
      return take;
    },
    /** What is heard at the point asked for last comes, with the volts there. */
    deliverPoint(left: Float32Array<ArrayBuffer>, volts: Float32Array<ArrayBuffer>, rate = 48000): void {
      const at = pointRequests.at(-1)?.taps[0]?.at ?? ['', ''];
      openers[1]?.listener.done(done(left, rate), { from: 0, frames: volts.length, taps: [{ at, samples: volts }] });
    },
  };
}
