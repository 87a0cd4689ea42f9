/** The page's half of the take renderer: one worker, the newest request wins. [page] */
import type { FromTakes, RecordedWindow, TakeRequest, ToTakes, WindowRequest } from '../protocol.ts';
import { engineModule } from './load.ts';
import type { RecordedSound } from './recordings.ts';

/** A finished take, without the window that came along. */
export type TakeDone = Omit<Extract<FromTakes, { type: 'done' }>, 'window'>;

export interface TakesListener {
  progress(share: number): void;
  /** `window` is what was looked at when the take was asked for. */
  done(take: TakeDone, window?: RecordedWindow): void;
  refused(say: string): void;
  /** A window of take `number`; only of the newest request for windows. */
  window(number: number, window: RecordedWindow): void;
}

export class Takes {
  readonly #worker: Worker;
  readonly #listener: TakesListener;
  #number = 0;
  #windowId = 0;
  #ready: Promise<void>;
  /** Sounds that the worker has, by sha256. */
  readonly #brought = new Set<string>();

  constructor(listener: TakesListener) {
    this.#listener = listener;
    this.#worker = new Worker(new URL('./take.worker.ts', import.meta.url), { type: 'module' });
    this.#worker.onmessage = (event: MessageEvent<FromTakes>) => this.#receive(event.data);
    this.#worker.onerror = () => listener.refused('The take could not be rendered: its worker stopped. Reload the page.');
    this.#ready = engineModule().then((module) => this.#send({ type: 'module', module }));
  }

  #send(message: ToTakes): void {
    this.#worker.postMessage(message);
  }

  #receive(message: FromTakes): void {
    if (message.type === 'window') {
      if (message.id === this.#windowId) this.#listener.window(message.take, message.window);
      return;
    }
    if (message.number !== this.#number) return;
    if (message.type === 'progress') this.#listener.progress(message.share);
    else if (message.type === 'done') {
      const { window, ...take } = message;
      this.#listener.done(take, window);
    } else this.#listener.refused(message.say);
  }

  /**
   * Asks for a take; whatever still renders is dropped. `sounds` are the decoded sound files of the patch that are there, by sha256:
   * each is copied to the worker once and kept there while takes name it. Recordings without a sound are silent.
   */
  render(request: Omit<TakeRequest, 'number'>, sounds: ReadonlyMap<string, RecordedSound> = new Map()): void {
    const number = ++this.#number;
    this.#ready.then(
      () => {
        if (number !== this.#number) return;
        this.#bring(sounds);
        this.#send({ type: 'render', request: { ...request, number } });
      },
      (error: unknown) => this.#listener.refused(error instanceof Error ? error.message : String(error)),
    );
  }

  /** Asks for a stretch of takes that are there, by their numbers; it waits while a take renders, and a newer such request ends it. */
  window(request: Omit<WindowRequest, 'id'>): void {
    const id = ++this.#windowId;
    this.#ready.then(
      () => {
        if (id === this.#windowId) this.#send({ type: 'window', request: { ...request, id } });
      },
      () => undefined,
    );
  }

  #bring(sounds: ReadonlyMap<string, RecordedSound>): void {
    for (const sha256 of this.#brought) {
      if (sounds.has(sha256)) continue;
      this.#brought.delete(sha256);
      this.#send({ type: 'forget', sha256 });
    }
    for (const [sha256, sound] of sounds) {
      if (this.#brought.has(sha256)) continue;
      this.#brought.add(sha256);
      this.#send({ type: 'sound', sha256, sound });
    }
  }

  cancel(): void {
    this.#number++;
    this.#windowId++;
    this.#send({ type: 'cancel' });
  }

  close(): void {
    this.#worker.terminate();
  }
}
