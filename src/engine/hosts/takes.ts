/** The page's half of the take renderer: one worker, the newest request wins. [page] */
import type { FromTakes, TakeRequest, ToTakes } from '../protocol.ts';
import { engineModule } from './load.ts';

export type TakeDone = Extract<FromTakes, { type: 'done' }>;

export interface TakesListener {
  progress(share: number): void;
  done(take: TakeDone): void;
  refused(say: string): void;
}

export class Takes {
  readonly #worker: Worker;
  readonly #listener: TakesListener;
  #number = 0;
  #ready: Promise<void>;

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
    if (message.number !== this.#number) return;
    if (message.type === 'progress') this.#listener.progress(message.share);
    else if (message.type === 'done') this.#listener.done(message);
    else this.#listener.refused(message.say);
  }

  /** Asks for a take; whatever still renders is dropped. */
  render(request: Omit<TakeRequest, 'number'>): void {
    const number = ++this.#number;
    this.#ready.then(
      () => {
        if (number === this.#number) this.#send({ type: 'render', request: { ...request, number } });
      },
      (error: unknown) => this.#listener.refused(error instanceof Error ? error.message : String(error)),
    );
  }

  cancel(): void {
    this.#number++;
    this.#send({ type: 'cancel' });
  }

  close(): void {
    this.#worker.terminate();
  }
}
