// @vitest-environment node
/** The take worker: the same samples as in-process, progress, the newest request wins, cancel. */
import { beforeAll, describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import type { FromTakes, TakeRequest, ToTakes } from '../../src/engine/protocol.ts';
import type { Patch } from '../../src/patch/document.ts';
import { engineModule } from '../support/engine.ts';
import { parityPatch } from '../support/paritySamples.ts';

const posted: FromTakes[] = [];
let send: (message: ToTakes) => void;

const request = (number: number, seconds: number): TakeRequest => ({
  number,
  patch: parityPatch,
  seconds,
  rate: 48000,
  quality: 1,
  taps: [{ at: ['flt', 'lowpass24'] }],
});

async function waitFor(found: () => boolean): Promise<void> {
  for (let i = 0; i < 2000 && !found(); i++) await new Promise((resolve) => setTimeout(resolve, 5));
  expect(found()).toBe(true);
}

beforeAll(async () => {
  const scope: { postMessage: (message: FromTakes) => void; onmessage?: (event: { data: ToTakes }) => void } = {
    postMessage: (message) => posted.push(message),
  };
  Object.assign(globalThis, { self: scope });
  await import('../../src/engine/hosts/take.worker.ts');
  send = (data) => scope.onmessage?.({ data });
  send({ type: 'module', module: engineModule() });
});

describe('the take worker', () => {
  it('renders what the in-process host renders, bit for bit', async () => {
    send({ type: 'render', request: request(1, 1) });
    await waitFor(() => posted.some((message) => message.type === 'done'));
    const done = posted.find((message) => message.type === 'done');
    const take = renderTake(engineModule(), specs, parityPatch, { seconds: 1, taps: [{ at: ['flt', 'lowpass24'] }] });
    expect(done?.left).toEqual(take.left);
    expect(done?.right).toEqual(take.right);
    expect(done?.taps[0]?.pairs).toEqual(take.peaks[0]);
    expect(take.left.some((x) => Math.abs(x) > 0.05)).toBe(true);
  });

  it('brings along what is looked at, and renders other windows of it and of the take before', async () => {
    const clock = { at: ['clk', 'beat'] as const };
    const taps = [{ at: ['flt', 'lowpass24'] as const }, clock];
    const direct = renderTake(engineModule(), specs, parityPatch, { seconds: 2, taps, edgesOf: 1 });
    const slow = { ...parityPatch, blocks: parityPatch.blocks.map((b) => (b.id === 'clk' ? { ...b, settings: { bpm: 60 } } : b)) };
    const other = renderTake(engineModule(), specs, slow, { seconds: 2, taps });
    posted.length = 0;
    send({ type: 'render', request: { ...request(11, 2), patch: slow, taps } });
    await waitFor(() => posted.some((message) => message.type === 'done'));
    posted.length = 0;
    send({ type: 'render', request: { ...request(12, 2), taps, window: { from: 60000, frames: 500 }, edgesOf: clock.at, before: 11 } });
    await waitFor(() => posted.some((message) => message.type === 'done'));
    const done = posted.find((message) => message.type === 'done');
    expect(done?.window?.taps[0]?.samples).toEqual(direct.taps[0]?.slice(60000, 60500));
    expect(done?.edges).toEqual(direct.edges);
    expect(direct.edges.length).toBe(5); // 137 beats a minute, the first at once
    send({ type: 'window', request: { id: 1, from: 30000, frames: 20, takes: [12, 11], outputs: [['flt', 'lowpass24']] } });
    await waitFor(() => posted.filter((message) => message.type === 'window').length === 2);
    const windows = posted.filter((message) => message.type === 'window');
    expect(windows.map(({ id, take, window }) => [id, take, window.from, window.taps[0]?.samples])).toEqual([
      [1, 12, 30000, direct.taps[0]?.slice(30000, 30020)],
      [1, 11, 30000, other.taps[0]?.slice(30000, 30020)],
    ]);
    expect(windows[0]?.window.taps[0]?.samples).not.toEqual(windows[1]?.window.taps[0]?.samples);
  });

  it('answers the newest window only, after a newer take, and none after a cancel', async () => {
    send({ type: 'render', request: request(13, 60) });
    await waitFor(() => posted.some((message) => message.type === 'done' && message.number === 13));
    posted.length = 0;
    const window = (id: number, from: number, frames: number): void =>
      send({ type: 'window', request: { id, from, frames, takes: [13], outputs: [['flt', 'lowpass24']] } });
    window(2, 0, 2_000_000);
    window(3, 100, 100);
    await waitFor(() => posted.some((message) => message.type === 'window'));
    window(4, 0, 2_000_000);
    send({ type: 'cancel' });
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(posted.map((message) => message.type === 'window' && message.id)).toEqual([3]);
    posted.length = 0;
    window(5, 0, 2_000_000);
    send({ type: 'render', request: request(14, 0.2) });
    await waitFor(() => posted.some((message) => message.type === 'done'));
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(posted.map((message) => message.type)).toEqual(['done']);
  });

  it('drops an older request when a newer one comes', async () => {
    posted.length = 0;
    send({ type: 'render', request: request(2, 200) });
    send({ type: 'render', request: request(3, 0.5) });
    await waitFor(() => posted.some((message) => message.type === 'done'));
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(posted.filter((message) => message.type === 'done').map(({ number }) => number)).toEqual([3]);
  });

  it('stops when it is cancelled', async () => {
    posted.length = 0;
    send({ type: 'render', request: request(4, 300) });
    await new Promise((resolve) => setTimeout(resolve, 30));
    send({ type: 'cancel' });
    await new Promise((resolve) => setTimeout(resolve, 100));
    expect(posted.filter((message) => message.type !== 'progress')).toEqual([]);
  });

  it('refuses what it cannot run with a sentence', async () => {
    posted.length = 0;
    send({ type: 'render', request: { ...request(5, 1), patch: { blocks: [{ id: 'x', type: 'nothing' }], cables: [] } } });
    await waitFor(() => posted.length > 0);
    expect(posted[0]).toMatchObject({ type: 'refused', number: 5, say: 'There is no block of type "nothing".' });
  });

  it('plays the sound files that it was brought, until it is told to forget them', async () => {
    const sound = { rate: 44100, channels: [Float32Array.from({ length: 3000 }, (_, n) => 0.5 * Math.sin(n * 0.1))] };
    const patch: Patch = {
      recordings: [{ id: 'fog', name: 'Fog.wav', sha256: 'f'.repeat(64), seconds: 0.1 }],
      blocks: [
        { id: 'player', type: 'samplePlayer', settings: { recording: 'fog', loop: true } },
        { id: 'out', type: 'output' },
      ],
      cables: [{ from: ['player', 'left'], to: ['out', 'left'] }],
    };
    const take = async (number: number) => {
      posted.length = 0;
      send({ type: 'render', request: { ...request(number, 0.1), patch, taps: [] } });
      await waitFor(() => posted.some((message) => message.type === 'done'));
      return posted.find((message) => message.type === 'done')?.left;
    };
    expect((await take(6))?.every((x) => x === 0)).toBe(true);
    send({ type: 'sound', sha256: 'f'.repeat(64), sound });
    const direct = renderTake(engineModule(), specs, patch, { seconds: 0.1, recordings: new Map([['fog', sound]]) });
    expect(direct.left.some((x) => Math.abs(x) > 0.1)).toBe(true);
    expect(await take(7)).toEqual(direct.left);
    send({ type: 'forget', sha256: 'f'.repeat(64) });
    expect((await take(8))?.every((x) => x === 0)).toBe(true);
  });
});
