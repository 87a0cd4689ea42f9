/** Asks what moves a place, once when it is opened and again with each take after an edit. */
import { useCallback, useEffect, useRef, useState } from 'react';
import type { MovesAnswer } from '../../insight/moves/answer.ts';
import type { MovesArgs } from '../../insight/moves/moves.ts';
import type { Patch } from '../../patch/document.ts';
import { Superseded } from '../answers/answers.ts';
import { useApp, useListening, useSession } from '../app.ts';
import { soundDiffers } from '../listen/takeSteps.ts';

export interface Asked {
  readonly answer: MovesAnswer | undefined;
  /** Why there is none. */
  readonly trouble: string | undefined;
  readonly asking: boolean;
  /** The answer is about the patch before an edit. */
  readonly stale: boolean;
}

export function useMoves({ at: [block, port], side }: MovesArgs): Asked {
  const { answers, session, sounds } = useApp();
  const take = useListening((state) => state.take);
  const patch = useSession((state) => state.patch);
  const [found, setFound] = useState<{ readonly answer?: MovesAnswer; readonly trouble?: string; readonly about?: Patch }>({});
  const [asking, setAsking] = useState(false);
  const count = useRef(0);
  const asked = useRef<Patch>(undefined);

  const ask = useCallback((): void => {
    const about = session.getState().patch;
    const number = ++count.current;
    asked.current = about;
    const settle = (result: { readonly answer?: MovesAnswer; readonly trouble?: string }): void => {
      if (number !== count.current) return;
      setFound({ ...result, about });
      setAsking(false);
    };
    setAsking(true);
    answers.ask('moves', about, { at: [block, port], side }, sounds.ready()).then(
      (answer) => settle({ answer }),
      (error: unknown) => {
        if (!(error instanceof Superseded)) settle({ trouble: error instanceof Error ? error.message : String(error) });
      },
    );
  }, [answers, session, sounds, block, port, side]);

  useEffect(ask, [ask]);
  // An edit that is heard is followed by a take, and that by the question.
  useEffect(() => {
    if (take && asked.current && soundDiffers(asked.current, session.getState().patch)) ask();
  }, [ask, take, session]);
  useEffect(
    () => () => {
      count.current++;
    },
    [],
  );
  return { answer: found.answer, trouble: found.trouble, asking, stale: found.about !== undefined && soundDiffers(found.about, patch) };
}
