/** Why the take is silent: asked as soon as one turns out so, and put away with the next edit that is heard. */
import { createStore, type StoreApi } from 'zustand/vanilla';
import { SILENT_DB, type Silence } from '../../insight/silent/index.ts';
import { loudestLevel } from '../../measure/ear.ts';
import { DEFAULT_SECONDS } from '../../patch/document.ts';
import { type Answers, Superseded } from '../answers/answers.ts';
import type { Listening } from '../listen/listening.ts';
import { soundDiffers } from '../listen/takeSteps.ts';
import type { Sounds } from '../sounds/sounds.ts';
import type { Session } from '../store/session.ts';

export interface SilenceState {
  /** The take is silent, and the reason is not there yet. */
  readonly asking: boolean;
  /** Of the patch as it is now. */
  readonly answer: Silence | undefined;
}

export type SilenceStore = StoreApi<SilenceState>;

export interface SilenceParts {
  readonly session: Session;
  readonly listening: Pick<Listening, 'subscribe'>;
  readonly answers: Answers;
  readonly sounds: Pick<Sounds, 'ready' | 'getState'>;
}

/** Of a longer take only the beginning is looked into, as others wait for the worker too. */
const LONGEST_SECONDS = 120;

const nothing: SilenceState = { asking: false, answer: undefined };

export function createSilence({ session, listening, answers, sounds }: SilenceParts): SilenceStore {
  const store = createStore<SilenceState>()(() => nothing);
  let asked = 0;

  const ask = async (): Promise<void> => {
    const mine = ++asked;
    const { patch } = session.getState();
    const missing = [...sounds.getState().files].flatMap(([sha256, status]) => (status === 'missing' ? [sha256] : []));
    store.setState({ asking: true });
    try {
      const seconds = Math.min(patch.seconds ?? DEFAULT_SECONDS, LONGEST_SECONDS);
      const answer = await answers.ask('silence', patch, { seconds, missing }, sounds.ready());
      if (mine === asked) store.setState({ asking: false, answer });
    } catch (error) {
      if (mine === asked && !(error instanceof Superseded)) store.setState(nothing);
    }
  };

  listening.subscribe((now, before) => {
    const { take } = now;
    if (!take || take === before.take) return;
    const outlets = session.getState().patch.blocks.length > 0;
    if (outlets && loudestLevel([take.left, take.right], take.rate) < SILENT_DB) void ask();
    else if (store.getState() !== nothing) {
      asked++;
      store.setState(nothing);
    }
  });
  session.subscribe((now, before) => {
    if (now.opened.count === before.opened.count && !soundDiffers(now.patch, before.patch)) return;
    asked++;
    if (store.getState() !== nothing) store.setState(nothing);
  });
  return store;
}
