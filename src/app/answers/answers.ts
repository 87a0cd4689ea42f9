/** The page asks about patches; a worker renders and answers. */
import { engineModule } from '../../engine/hosts/load.ts';
import type { RecordedSound } from '../../engine/hosts/recordings.ts';
import type { AnswerOf, ArgsOf, QuestionName } from '../../insight/questions.ts';
import type { Patch } from '../../patch/document.ts';
import type { FromAnswers, ToAnswers } from './answersProtocol.ts';

/** A newer question of the same name took its place: nothing is to be shown. */
export class Superseded extends Error {}

export interface Answers {
  /** `sounds`: decoded sound files that are there, by sha256. Rejects with a sentence, or as Superseded. */
  ask<Name extends QuestionName>(
    name: Name,
    patch: Patch,
    args: ArgsOf<Name>,
    sounds?: ReadonlyMap<string, RecordedSound>,
  ): Promise<AnswerOf<Name>>;
}

interface Waiting {
  readonly name: QuestionName;
  readonly number: number;
  readonly message: ToAnswers;
  readonly sounds: ReadonlyMap<string, RecordedSound>;
  settle(answer: unknown): void;
  refuse(error: Error): void;
}

/** The worker starts with the first question and is asked one thing at a time. */
export function createAnswers(openWorker: () => Worker): Answers {
  let worker: Worker | undefined;
  let number = 0;
  let asked: Waiting | undefined;
  let queue: Waiting[] = [];
  const brought = new Set<string>();

  const finish = (message: FromAnswers): void => {
    const done = asked;
    asked = undefined;
    if (done?.number === message.number) {
      if (message.type === 'answer') done.settle(message.answer);
      else done.refuse(new Error(message.say));
    }
    next();
  };
  const open = async (): Promise<Worker> => {
    const opened = openWorker();
    worker = opened;
    opened.onmessage = (event: MessageEvent<FromAnswers>) => finish(event.data);
    opened.onerror = () => {
      opened.terminate();
      worker = undefined;
      brought.clear();
      finish({ type: 'trouble', number: asked?.number ?? -1, say: 'The question could not be answered: its worker stopped. Ask again.' });
    };
    opened.postMessage({ type: 'module', module: await engineModule() } satisfies ToAnswers);
    return opened;
  };
  const next = (): void => {
    const waiting = queue.shift();
    if (!waiting) return;
    asked = waiting;
    Promise.resolve(worker ?? open()).then(
      (ready) => {
        for (const [sha256, sound] of waiting.sounds) {
          if (brought.has(sha256)) continue;
          brought.add(sha256);
          ready.postMessage({ type: 'sound', sha256, sound } satisfies ToAnswers);
        }
        ready.postMessage(waiting.message);
      },
      (error: unknown) => finish({ type: 'trouble', number: waiting.number, say: error instanceof Error ? error.message : String(error) }),
    );
  };

  return {
    ask: (name, patch, args, sounds = new Map()) =>
      new Promise((resolve, reject) => {
        number++;
        for (const old of queue) if (old.name === name) old.refuse(new Superseded());
        queue = queue.filter((old) => old.name !== name);
        queue.push({
          name,
          number,
          sounds,
          message: { type: 'ask', number, name, patch, args },
          settle: (answer) => resolve(answer as AnswerOf<typeof name>),
          refuse: reject,
        });
        if (!asked) next();
      }),
  };
}

export function openAnswersWorker(): Worker {
  return new Worker(new URL('./answers.worker.ts', import.meta.url), { type: 'module' });
}
