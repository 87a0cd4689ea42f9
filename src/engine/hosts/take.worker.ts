/** Takes off the page: renders in slices, so that a newer request or a cancel is noticed at once. */
import { specs } from '../../blocks/specs.gen.ts';
import type { Patch } from '../../patch/document.ts';
import { PlanRefused } from '../plan/plan.ts';
import type { FromTakes, RecordedTap, TakeRequest, ToTakes } from '../protocol.ts';
import type { RecordedSound } from './recordings.ts';
import { TakeRenderer } from './take.ts';

/** Output frames rendered between two looks at the messages: some milliseconds. */
const SLICE = 16384;
/** Progress is reported past this time. */
const QUIET_MS = 300;

let module: WebAssembly.Module | undefined;
/** Decoded sound files by sha256. */
const sounds = new Map<string, RecordedSound>();
let newest = 0;

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
  newest = request.number;
  const begin = performance.now();
  try {
    const renderer = new TakeRenderer(module, specs, request.patch, { ...request, recordings: recordingsOf(request.patch) });
    while (!renderer.done) {
      renderer.advance(SLICE);
      await breathe();
      if (newest !== request.number) return;
      if (performance.now() - begin > QUIET_MS) post({ type: 'progress', number: request.number, share: renderer.progress });
    }
    const take = renderer.result();
    const seconds = (performance.now() - begin) / 1000;
    const taps = take.taps.map((samples, i): RecordedTap => {
      const tap = request.taps[i] as TakeRequest['taps'][number];
      return { at: tap.at, peakFrames: tap.peaksOnly ? take.peakFrames : 0, samples };
    });
    post(
      {
        type: 'done',
        number: request.number,
        rate: take.rate,
        frames: take.frames,
        left: take.left,
        right: take.right,
        taps,
        faults: take.faults,
        realtimeRatio: request.seconds / Math.max(seconds, 1e-6),
      },
      [take.left.buffer, take.right.buffer, ...taps.map((tap) => tap.samples.buffer)],
    );
  } catch (error) {
    const say =
      error instanceof PlanRefused
        ? error.message
        : `The take could not be rendered: ${error instanceof Error ? error.message : String(error)}`;
    post({ type: 'refused', number: request.number, say });
  }
}

self.onmessage = (event: MessageEvent<ToTakes>) => {
  const message = event.data;
  if (message.type === 'module') module = message.module;
  else if (message.type === 'cancel') newest = -1;
  else if (message.type === 'sound') sounds.set(message.sha256, message.sound);
  else if (message.type === 'forget') sounds.delete(message.sha256);
  else void render(message.request);
};
