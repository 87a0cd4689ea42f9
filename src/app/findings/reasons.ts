/** Why is it so loud, distorted, out of tune, off the beat: asked by a person, put away with the next edit that is heard. */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Complaint, Reasons } from '../../insight/reasons/index.ts';
import { type Answers, Superseded } from '../answers/answers.ts';
import { soundDiffers } from '../listen/takeSteps.ts';
import type { Sounds } from '../sounds/sounds.ts';
import type { Session } from '../store/session.ts';
import { namesDiffer } from './takeChecks.ts';

export interface ReasonsState {
  readonly complaint: Complaint | undefined;
  readonly asking: boolean;
  readonly answer: Reasons | undefined;
  /** Why there is no answer: a sentence. */
  readonly trouble: string | undefined;
}

export interface ReasonsStore extends StoreApi<ReasonsState> {
  ask(complaint: Complaint): Promise<void>;
  putAway(): void;
}

export interface ReasonsParts {
  readonly session: Session;
  readonly answers: Answers;
  readonly sounds: Pick<Sounds, 'ready'>;
}

const nothing: ReasonsState = { complaint: undefined, asking: false, answer: undefined, trouble: undefined };

export function createReasons({ session, answers, sounds }: ReasonsParts): ReasonsStore {
  const store = createStore<ReasonsState>()(() => nothing);
  let asked = 0;

  const putAway = (): void => {
    asked++;
    if (store.getState() !== nothing) store.setState(nothing);
  };

  session.subscribe((now, before) => {
    if (now.opened.count !== before.opened.count || soundDiffers(now.patch, before.patch) || namesDiffer(now.patch, before.patch))
      putAway();
  });

  return Object.assign(store, {
    putAway,
    async ask(complaint: Complaint): Promise<void> {
      const mine = ++asked;
      store.setState({ ...nothing, complaint, asking: true });
      try {
        const answer = await answers.ask('reasons', session.getState().patch, { complaint }, sounds.ready());
        if (mine === asked) store.setState({ asking: false, answer });
      } catch (error) {
        if (mine !== asked || error instanceof Superseded) return;
        store.setState({ asking: false, trouble: error instanceof Error ? error.message : String(error) });
      }
    },
  });
}
