/** Takes off the page: renders in slices, so that a newer request or a cancel is noticed at once. */
import { specs } from '../../blocks/specs.gen.ts';
import { type Patch, placeName } from '../../patch/document.ts';
import { PlanRefused, type TapRequest } from '../plan/plan.ts';
import type { FromTakes, TakeRequest, ToTakes, WindowRequest } from '../protocol.ts';
import { KeptTakes, SNAPSHOT_BYTES } from './keptTakes.ts';
import type { RecordedSound } from './recordings.ts';
import { type Take, TakeRenderer } from './take.ts';

/** Output frames rendered between two looks at the messages: some milliseconds. */
const SLICE = 16384;
/** Progress is reported past this time. */
const QUIET_MS = 300;

let module: WebAssembly.Module | undefined;
/** Decoded sound files by sha256. */
const sounds = new Map<string, RecordedSound>();
const kept = new KeptTakes();
/** The take that renders, and the window that is asked for. */
let current: TakeRequest | undefined;
let wanted: WindowRequest | undefined;

function post(message: FromTakes, transfer: Transferable[] = []): void {
  self.postMessage(message, { transfer });
}

/** Lets waiting messages in; a message channel is not slowed down as timers are. */
function breathe(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(0);
  });
}

/** The sounds of a patch that are there, by the id of their recording. */
function recordingsOf(patch: Patch): ReadonlyMap<string, RecordedSound> {
  return new Map(
    (patch.recordings ?? []).flatMap(({ id, sha256 }) => {
      const sound = sounds.get(sha256);
      return sound ? [[id, sound] as const] : [];
    }),
  );
}

async function render(request: TakeRequest): Promise<void> {
  if (!module) return;
  current = request;
  wanted = undefined;
  kept.makeRoom(request.before);
  const begin = performance.now();
  try {
    const edgesOf = request.edgesOf && placeName(request.edgesOf);
    const renderer = new TakeRenderer(module, specs, request.patch, {
      ...request,
      recordings: recordingsOf(request.patch),
      window: request.window ?? { from: 0, frames: 0 },
      ...(!request.once && { snapshotBytes: SNAPSHOT_BYTES }),
      edgesOf: request.taps.findIndex(({ at, peaksOnly }) => !peaksOnly && placeName(at) === edgesOf),
    });
    while (!renderer.done) {
      renderer.advance(SLICE);
      await breathe();
      if (current !== request) return;
      if (performance.now() - begin > QUIET_MS) post({ type: 'progress', number: request.number, share: renderer.progress });
    }
    current = undefined;
    if (renderer.kept) kept.add(request.number, renderer.kept, request.before);
    answer(request, renderer.result(), (performance.now() - begin) / 1000);
  } catch (error) {
    if (current === request) current = undefined;
    const say =
      error instanceof PlanRefused
        ? error.message
        : `The take could not be rendered: ${error instanceof Error ? error.message : String(error)}`;
    post({ type: 'refused', number: request.number, say });
  }
  if (!current && wanted) void renderWindow(wanted);
}

function answer(request: TakeRequest, take: Take, seconds: number): void {
  const full = take.taps.flatMap((samples, i) => {
    const { at, peaksOnly } = request.taps[i] as TapRequest;
    return peaksOnly ? [] : [{ at, samples }];
  });
  const window = request.window && {
    from: Math.max(0, Math.min(request.window.from, take.frames)),
    frames: full[0]?.samples.length ?? 0,
    taps: full,
  };
  post(
    {
      type: 'done',
      number: request.number,
      rate: take.rate,
      frames: take.frames,
      left: take.left,
      right: take.right,
      taps: take.peaks.map((pairs, i) => ({ at: (request.taps[i] as TapRequest).at, peakFrames: take.peakFrames, pairs })),
      window,
      edges: take.edges,
      faults: take.faults,
      realtimeRatio: request.seconds / Math.max(seconds, 1e-6),
    },
    [take.left, take.right, take.edges, ...take.peaks, ...full.map(({ samples }) => samples)].map(({ buffer }) => buffer),
  );
}

/** Renders while nothing newer is wanted and no take renders; what waits for a take begins when it is there. */
async function renderWindow(request: WindowRequest): Promise<void> {
  for (const number of request.takes) {
    const window = kept.find(number)?.window(request.from, request.frames, request.outputs);
    if (!window) continue;
    while (!window.done) {
      window.advance(SLICE);
      await breathe();
      if (current || wanted !== request) return;
    }
    const { from, frames, taps } = window;
    const copies = taps.map(({ at, samples }) => ({ at, samples }));
    post(
      { type: 'window', id: request.id, take: number, window: { from, frames, taps: copies } },
      copies.map(({ samples }) => samples.buffer),
    );
  }
  wanted = undefined;
}

self.onmessage = (event: MessageEvent<ToTakes>) => {
  const message = event.data;
  switch (message.type) {
    case 'module':
      module = message.module;
      break;
    case 'sound':
      sounds.set(message.sha256, message.sound);
      break;
    case 'forget':
      sounds.delete(message.sha256);
      break;
    case 'render':
      void render(message.request);
      break;
    case 'window':
      wanted = message.request;
      if (!current) void renderWindow(message.request);
      break;
    case 'cancel':
      current = undefined;
      wanted = undefined;
  }
};
