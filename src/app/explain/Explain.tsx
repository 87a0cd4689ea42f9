/** "Explain this patch": what it does in plain sentences, and the constructions it holds; what is pointed at lights up on the sketch. */
import { type ReactNode, useEffect, useId, useState } from 'react';
import { useStore } from 'zustand';
import type { ExplainedConstruction, Explanation } from '../../insight/explain/explain.ts';
import { topics, topicTitles } from '../../insight/explain/topics.ts';
import { useApp, useSession } from '../app.ts';
import { nothingHighlighted } from '../store/highlight.ts';
import './explain.css';

/** How strongly cables stand out that take part, of 0..1. */
const CABLE_WEIGHT = 0.35;

export function Explain() {
  const { explaining } = useApp();
  const open = useStore(explaining, (state) => state.open);
  const empty = useSession((state) => state.patch.blocks.length === 0);
  const id = useId();
  return (
    <section className="explain" aria-label="Explain this patch">
      <h2>
        <button type="button" className="explain-open" aria-expanded={open} aria-controls={id} onClick={() => explaining.setOpen(!open)}>
          Explain this patch
        </button>
      </h2>
      <div id={id} hidden={!open}>
        {open && (empty ? <p className="soft">The patch is explained as soon as it has blocks.</p> : <Answer />)}
      </div>
    </section>
  );
}

function Answer() {
  const { explaining } = useApp();
  const { answer, trouble, asking, stale } = useStore(explaining);
  useEffect(() => explaining.look(), [explaining]);
  return (
    <div className="explain-answer" aria-busy={asking} data-stale={stale}>
      <div role="status">
        {!answer && !trouble && <p className="soft">Listening to the take...</p>}
        {trouble && <p className="explain-trouble">{trouble}</p>}
        {answer && stale && <p className="soft small">This is about the patch before your last edit.</p>}
      </div>
      {answer && <Told answer={answer} />}
    </div>
  );
}

/** Blocks and cables that a sentence or a construction speaks of. */
interface Spoken {
  readonly blocks: readonly string[];
  readonly cables: readonly string[];
}

function Told({ answer }: { readonly answer: Explanation }) {
  const { highlight, sketch, view } = useApp();
  const [pointed, setPointed] = useState<Spoken>();
  const [pinned, setPinned] = useState<Spoken>();
  const lit = pointed ?? pinned;
  useEffect(() => {
    highlight.setState(
      lit ? { blocks: new Set(lit.blocks), cables: new Map(lit.cables.map((cable) => [cable, CABLE_WEIGHT])) } : nothingHighlighted,
    );
    return () => highlight.setState(nothingHighlighted);
  }, [highlight, lit]);
  // A new answer speaks of other objects; what was pinned in the old one is let go.
  const [told, setTold] = useState(answer);
  if (told !== answer) {
    setTold(answer);
    setPointed(undefined);
    setPinned(undefined);
  }
  const press = (spoken: Spoken): void => {
    setPinned(pinned === spoken ? undefined : spoken);
    if (pinned === spoken) return;
    view.setState({ page: 'sketch', drawer: undefined });
    sketch.current?.show(spoken.blocks);
  };
  const line = (spoken: Spoken, children: ReactNode): ReactNode => (
    <Line spoken={spoken} pressed={pinned === spoken} onPoint={setPointed} onPress={press}>
      {children}
    </Line>
  );
  return (
    <>
      {topics.map((topic) => {
        const own = answer.sentences.filter(({ about }) => about === topic);
        if (own.length === 0) return null;
        return (
          <Part key={topic} title={topicTitles[topic]}>
            {own.map((sentence) => (
              <li key={sentence.say}>{line(sentence, unbroken(sentence.say))}</li>
            ))}
          </Part>
        );
      })}
      {answer.constructions.length > 0 && (
        <Part title="Constructions">
          {grouped(answer.constructions).map(([first, all]) => (
            <li key={first.id} className="explain-construction">
              <h4>{first.name}</h4>
              <div className="explain-where">
                {all.map((each) => (
                  <div key={each.blocks.join(' ')}>{line(each, each.where)}</div>
                ))}
              </div>
              <p>{first.say}</p>
              <p>
                <span className="soft">Try:</span> {first.tryOut}
              </p>
              {first.heuristic && <p className="small soft">Recognised by a rule of thumb.</p>}
            </li>
          ))}
        </Part>
      )}
      <p className="small soft">{footOf(answer)}</p>
    </>
  );
}

function Part({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  const id = useId();
  return (
    <>
      <h3 id={id}>{title}</h3>
      <ul aria-labelledby={id}>{children}</ul>
    </>
  );
}

interface LineProps {
  readonly spoken: Spoken;
  readonly pressed: boolean;
  readonly onPoint: (spoken: Spoken | undefined) => void;
  readonly onPress: (spoken: Spoken) => void;
  readonly children: ReactNode;
}

/** Pointing at it or reaching it by keys lights up its blocks; a press keeps them lit and brings them into view. */
function Line({ spoken, pressed, onPoint, onPress, children }: LineProps) {
  if (spoken.blocks.length === 0) return <p className="explain-line">{children}</p>;
  return (
    <button
      type="button"
      className="explain-line"
      aria-pressed={pressed}
      title="Show it on the sketch"
      onPointerEnter={() => onPoint(spoken)}
      onPointerLeave={() => onPoint(undefined)}
      onFocus={() => onPoint(spoken)}
      onBlur={() => onPoint(undefined)}
      onClick={() => onPress(spoken)}
    >
      {children}
    </button>
  );
}

/** Finds of one construction together, in the order of the answer. */
function grouped(all: readonly ExplainedConstruction[]): readonly (readonly [ExplainedConstruction, readonly ExplainedConstruction[]])[] {
  return all
    .filter(({ id }, i) => all.findIndex((other) => other.id === id) === i)
    .map((first) => [first, all.filter(({ id }) => id === first.id)] as const);
}

/** What the answer rests on. */
function footOf({ seconds, constructions }: Explanation): string {
  const heard = `Read from the drawing and its settings; speeds, depths and what never comes are heard in ${Number(seconds.toPrecision(3))} s of the take.`;
  const thumb =
    ' From which speed on a movement is a tone, and how near to oscillation a filter rings, is decided by figures of common practice: rules of thumb.';
  return constructions.some(({ heuristic }) => heuristic) ? `${heard}${thumb}` : heard;
}

/** A number stays on one line with its unit. */
function unbroken(text: string): string {
  return text.replaceAll(/(\d) (?=[%\p{L}]{1,3}\b|%)/gu, '$1\u00a0');
}
