/** What the checks find in the take: asked quietly once a take is there, and gone with the first edit that could change it. */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Finding } from '../../insight/finding.ts';
import { DEFAULT_SECONDS, type Patch } from '../../patch/document.ts';
import { type Answers, Superseded } from '../answers/answers.ts';
import type { Listening } from '../listen/listening.ts';
import { soundDiffers } from '../listen/takeSteps.ts';
import type { Sounds } from '../sounds/sounds.ts';
import type { Session } from '../store/session.ts';

/** Longer takes are not checked by themselves. */
export const MOST_SECONDS = 120;
/** Names of blocks are typed letter by letter. */
const DEBOUNCE_MS = 600;

export interface TakeChecksState {
  /** The take is being looked at. */
  readonly looking: boolean;
  /** Of the patch as it is now; undefined while that is not known. */
  readonly findings: readonly Finding[] | undefined;
}

export type TakeChecks = StoreApi<TakeChecksState>;

export interface TakeChecksParts {
  readonly session: Session;
  readonly listening: Pick<Listening, 'subscribe' | 'getState'>;
  readonly answers: Answers;
  readonly sounds: Pick<Sounds, 'ready'>;
  readonly whenIdle: (work: () => void) => () => void;
}

const unknown: TakeChecksState = { looking: false, findings: undefined };

export function createTakeChecks({ session, listening, answers, sounds, whenIdle }: TakeChecksParts): TakeChecks {
  const store = createStore<TakeChecksState>()(() => unknown);
  let asked = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let callOff: (() => void) | undefined;

  const ask = async (): Promise<void> => {
    callOff = undefined;
    const { patch } = session.getState();
    const mine = ++asked;
    const seconds = patch.seconds ?? DEFAULT_SECONDS;
    if (seconds > MOST_SECONDS || !patch.blocks.length) {
      store.setState(unknown);
      return;
    }
    store.setState({ looking: true, findings: undefined });
    try {
      const findings = await answers.ask('checks', patch, { seconds }, sounds.ready());
      if (mine === asked) store.setState({ looking: false, findings });
    } catch (error) {
      if (mine === asked && !(error instanceof Superseded)) store.setState(unknown);
    }
  };
  const plan = (ms: number): void => {
    clearTimeout(timer);
    callOff?.();
    timer = setTimeout(() => {
      callOff = whenIdle(() => void ask());
    }, ms);
  };
  const drop = (): void => {
    asked++;
    clearTimeout(timer);
    callOff?.();
    if (store.getState() !== unknown) store.setState(unknown);
  };

  listening.subscribe((now, before) => {
    if (now.take && now.take !== before.take) plan(0);
    // a refused take leaves nothing to look at
    else if (now.takeStatus === 'refused' && before.takeStatus !== 'refused') drop();
  });
  session.subscribe((now, before) => {
    if (now.opened.count !== before.opened.count || soundDiffers(now.patch, before.patch)) drop();
    else if (namesDiffer(now.patch, before.patch) && listening.getState().takeStatus === 'ready') {
      drop();
      plan(DEBOUNCE_MS);
    }
  });
  return store;
}

/** Sentences carry the names of blocks. */
export function namesDiffer(a: Patch, b: Patch): boolean {
  if (a.blocks === b.blocks) return false;
  const old = new Map(b.blocks.map(({ id, label }) => [id, label]));
  return a.blocks.some(({ id, label }) => old.get(id) !== label);
}
