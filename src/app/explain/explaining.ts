/** The description of the open patch: asked for while somebody looks at it, and again when the patch has changed and its take is there. */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Explanation } from '../../insight/explain/explain.ts';
import type { Patch } from '../../patch/document.ts';
import { type Answers, Superseded } from '../answers/answers.ts';
import type { Listening } from '../listen/listening.ts';
import { soundDiffers } from '../listen/takeSteps.ts';
import type { Sounds } from '../sounds/sounds.ts';
import type { Session } from '../store/session.ts';

/** The hand rests this long before the patch is told anew. */
const REST_MS = 400;

interface ExplainingState {
  readonly open: boolean;
  readonly asking: boolean;
  readonly answer: Explanation | undefined;
  /** Why there is none: one sentence. */
  readonly trouble: string | undefined;
  /** The answer is about the patch before an edit. */
  readonly stale: boolean;
}

export interface Explaining extends StoreApi<ExplainingState> {
  setOpen(open: boolean): void;
  /** Somebody looks at it. Returns the way to say that nobody does any more. */
  look(): () => void;
}

interface ExplainingParts {
  readonly session: Session;
  readonly listening: Pick<Listening, 'subscribe' | 'getState'>;
  readonly answers: Answers;
  readonly sounds: Pick<Sounds, 'ready'>;
}

export function createExplaining({ session, listening, answers, sounds }: ExplainingParts): Explaining {
  const store = createStore<ExplainingState>()(() => ({ open: false, asking: false, answer: undefined, trouble: undefined, stale: false }));
  let timer: ReturnType<typeof setTimeout> | undefined;
  let lookers = 0;
  /** What the answer, or the question that waits for one, is about. */
  let about: Patch | undefined;
  let number = 0;

  const ask = (): void => {
    const { patch } = session.getState();
    const mine = ++number;
    about = patch;
    store.setState({ asking: true });
    const settle = (result: Pick<ExplainingState, 'answer' | 'trouble'>): void => {
      if (mine !== number) return;
      store.setState({ ...result, asking: false, stale: tellsOtherwise(patch, session.getState().patch) });
    };
    answers.ask('explain', patch, {}, sounds.ready()).then(
      (answer) => settle({ answer, trouble: undefined }),
      (error: unknown) => {
        if (error instanceof Superseded) return;
        settle({ answer: undefined, trouble: error instanceof Error ? error.message : String(error) });
      },
    );
  };
  /** The take goes first: it is what people wait for after an edit. */
  const plan = (rest: number): void => {
    clearTimeout(timer);
    const { takeStatus } = listening.getState();
    if (lookers === 0 || takeStatus === 'waiting' || takeStatus === 'rendering') return;
    if (about && !tellsOtherwise(about, session.getState().patch)) return;
    timer = setTimeout(ask, rest);
  };

  session.subscribe((now, before) => {
    if (now.opened.count !== before.opened.count) {
      number++;
      about = undefined;
      store.setState({ answer: undefined, trouble: undefined, asking: false, stale: false });
      plan(0);
    } else if (now.patch !== before.patch) {
      const stale = about !== undefined && tellsOtherwise(about, now.patch);
      if (stale !== store.getState().stale) store.setState({ stale });
      plan(REST_MS);
    }
  });
  listening.subscribe((now, before) => {
    if (now.takeStatus !== before.takeStatus) plan(0);
  });
  return Object.assign(store, {
    setOpen: (open: boolean) => store.setState({ open }),
    look: () => {
      lookers++;
      plan(0);
      return () => {
        lookers--;
      };
    },
  });
}

/** Would a description say something else? Labels are in it, places on the sketch are not. */
function tellsOtherwise(a: Patch, b: Patch): boolean {
  if (a === b) return false;
  return soundDiffers(a, b) || a.blocks.some(({ label }, i) => label !== b.blocks[i]?.label);
}
