/** The page's stores around the real engine, in this process: takes and windows come when the test says so. */
import { createApp } from '../../src/app/createApp.ts';
import { specs } from '../../src/blocks/specs.gen.ts';
import { symbols } from '../../src/blocks/symbols.gen.ts';
import { KeptTakes, SNAPSHOT_BYTES } from '../../src/engine/hosts/keptTakes.ts';
import { TakeRenderer } from '../../src/engine/hosts/take.ts';
import type { TakesListener } from '../../src/engine/hosts/takes.ts';
import type { TakeRequest, WindowRequest } from '../../src/engine/protocol.ts';
import { type Patch, placeName } from '../../src/patch/document.ts';
import { engineModule } from './engine.ts';
import { FakePlayer } from './playedApp.ts';

export function renderedApp(patch: Patch) {
  const kept = new KeptTakes();
  const players: FakePlayer[] = [];
  let listener: TakesListener | undefined;
  let asked: Omit<TakeRequest, 'number'> | undefined;
  let window: Omit<WindowRequest, 'id'> | undefined;
  let number = 0;
  const app = createApp({
    specs,
    symbols,
    patch,
    sound: {
      openLive: () => Promise.reject(new Error('There is no sound here.')),
      openTakes: (told) => {
        listener ??= told;
        return {
          render: (request) => {
            asked = request;
          },
          window: (request) => {
            window = request;
          },
          cancel: () => undefined,
        };
      },
      openPlayer: async (told, volume) => {
        const player = new FakePlayer(told, volume);
        players.push(player);
        return player;
      },
    },
  });

  /** Renders what was asked for last, and brings it. */
  const bringTake = (): void => {
    app.listening.renderTake();
    if (!asked) return;
    const request = asked;
    number++;
    const full = request.taps.filter(({ peaksOnly }) => !peaksOnly);
    const renderer = new TakeRenderer(engineModule(), specs, request.patch, {
      ...request,
      window: request.window ?? { from: 0, frames: 0 },
      snapshotBytes: SNAPSHOT_BYTES,
      edgesOf: full.findIndex(({ at }) => request.edgesOf && placeName(at) === placeName(request.edgesOf)),
    });
    renderer.advance(Number.POSITIVE_INFINITY);
    const take = renderer.result();
    if (renderer.kept) kept.add(number, renderer.kept, request.before);
    const taps = full.map(({ at }, i) => ({ at, samples: take.taps[i] as Float32Array<ArrayBuffer> }));
    listener?.done(
      {
        type: 'done',
        number,
        rate: take.rate,
        frames: take.frames,
        left: take.left,
        right: take.right,
        taps: take.peaks.map((pairs, i) => ({ at: request.taps[i]?.at ?? ['', ''], peakFrames: take.peakFrames, pairs })),
        edges: take.edges,
        faults: take.faults,
        realtimeRatio: 100,
      },
      request.window && { from: request.window.from, frames: taps[0]?.samples.length ?? 0, taps },
    );
  };

  return {
    app,
    players,
    bringTake,
    /** What was asked for and has not been brought. */
    wantedWindow: () => window,
    /** Renders the window asked for last, if any, and brings it. */
    bringWindow(): void {
      const request = window;
      window = undefined;
      for (const one of request?.takes ?? []) {
        const render = kept.find(one)?.window(request?.from ?? 0, request?.frames ?? 0, request?.outputs ?? []);
        render?.advance(Number.POSITIVE_INFINITY);
        if (render) listener?.window(one, { from: render.from, frames: render.frames, taps: render.taps });
      }
    },
  };
}
