/** The answer to "What moves this?" beside the setting or input it is about. */
import { useEffect, useId, useState } from 'react';
import type { Driver, Idle, Mover, MovesAnswer } from '../../insight/moves/answer.ts';
import { AUDIO_RATE_HERTZ } from '../../insight/moves/movement.ts';
import type { MovesArgs } from '../../insight/moves/moves.ts';
import { percentTexts } from '../../insight/moves/percent.ts';
import { useApp } from '../app.ts';
import { type HighlightState, nothingHighlighted } from '../store/highlight.ts';
import { MovesDrawing } from './MovesDrawing.tsx';
import { letterOf, Pattern } from './Pattern.tsx';
import { useMoves } from './useMoves.ts';
import './moves.css';

export function MovesPanel({ title, ...args }: MovesArgs & { readonly title: string }) {
  const { answer, trouble, asking, stale } = useMoves(args);
  return (
    <section className="moves" aria-label={`What moves ${title}`} aria-busy={asking} data-stale={stale}>
      <div role="status">
        {!answer && !trouble && <p className="soft">Rendering the take without each source...</p>}
        {trouble && <p className="moves-trouble">{trouble}</p>}
        {answer && stale && <p className="soft small">This is about the patch before your last edit.</p>}
        {answer && <Sentences say={answer.say} />}
      </div>
      {answer && <Shares answer={answer} />}
    </section>
  );
}

function Sentences({ say }: { readonly say: readonly string[] }) {
  const [first, ...more] = say;
  return (
    <>
      <p className="moves-first">{unbroken(first ?? '')}</p>
      {more.length > 0 && <p>{unbroken(more.join(' '))}</p>}
    </>
  );
}

/** A number stays on one line with its unit. */
function unbroken(text: string): string {
  return text.replaceAll(/(\d) (?=[%\p{L}]{1,3}\b|%)/gu, '$1\u00a0');
}

/** Drawing and list; what is pointed at in the list stands out in the drawing and on the sketch. */
function Shares({ answer }: { readonly answer: MovesAnswer }) {
  const { highlight } = useApp();
  const [pointed, setPointed] = useState<string>();
  const [pinned, setPinned] = useState<string>();
  const lit = pointed ?? pinned;
  useEffect(() => {
    highlight.setState(highlightOf(answer, lit));
    return () => highlight.setState(nothingHighlighted);
  }, [highlight, answer, lit]);
  const hands = (key: string) => ({
    pressed: pinned === key,
    onPoint: () => setPointed(key),
    onLeave: () => setPointed(undefined),
    onPress: () => setPinned(pinned === key ? undefined : key),
  });
  const shares = percentTexts(answer.movers.map(({ share }) => share));
  const { movers, drivers, idle } = answer;
  return (
    <>
      {movers.length > 0 && <MovesDrawing answer={answer} lit={movers.some(({ key }) => key === lit) ? lit : undefined} />}
      {movers.length > 0 && (
        <ol className="moves-list" aria-label="Sources by share">
          {movers.map((mover, i) => (
            <li key={mover.key}>
              <SourceButton {...hands(mover.key)}>
                <Swatch i={i} />
                <span className="moves-name">{mover.label}</span>
                <span className="value">{shares[i]}</span>
                <span className="moves-bar" aria-hidden="true">
                  <span style={{ width: `${100 * mover.share}%` }} />
                </span>
                <span className="small soft">{detailOf(mover)}</span>
              </SourceButton>
            </li>
          ))}
        </ol>
      )}
      <Others title="Drive them" sources={drivers} hands={hands} detail={(driver) => drivenText(driver, movers)} />
      <Others
        title="Never change it"
        sources={idle}
        hands={hands}
        detail={({ why }) => (why === 'still' ? 'stands still' : 'reaches it without effect')}
      />
    </>
  );
}

interface SourceButtonProps {
  readonly pressed: boolean;
  readonly onPoint: () => void;
  readonly onLeave: () => void;
  readonly onPress: () => void;
  readonly children: React.ReactNode;
}

/** Pointing at it or reaching it by keys lights its way on the sketch; a press keeps it lit. */
function SourceButton({ pressed, onPoint, onLeave, onPress, children }: SourceButtonProps) {
  return (
    <button
      type="button"
      className="moves-source"
      aria-pressed={pressed}
      title="Shows its way on the sketch"
      onPointerEnter={onPoint}
      onPointerLeave={onLeave}
      onFocus={onPoint}
      onBlur={onLeave}
      onClick={onPress}
    >
      {children}
    </button>
  );
}

interface OthersProps<S extends Driver | Idle> {
  readonly title: string;
  readonly sources: readonly S[];
  readonly hands: (key: string) => Omit<SourceButtonProps, 'children'>;
  readonly detail: (source: S) => string;
}

function Others<S extends Driver | Idle>({ title, sources, hands, detail }: OthersProps<S>) {
  const id = useId();
  if (sources.length === 0) return null;
  return (
    <>
      <h4 id={id}>{title}</h4>
      <ul className="moves-list" aria-labelledby={id}>
        {sources.map((source) => (
          <li key={source.key}>
            <SourceButton {...hands(source.key)}>
              <span className="moves-name">{source.label}</span>
              <span className="small soft">{detail(source)}</span>
            </SourceButton>
          </li>
        ))}
      </ul>
    </>
  );
}

function Swatch({ i }: { readonly i: number }) {
  const id = useId();
  return (
    <svg className="moves-swatch" width={22} height={18} aria-hidden="true">
      <Pattern id={id} i={i} />
      <rect width={22} height={18} rx={2} fill={`url(#${id})`} />
      <text x={11} y={13} textAnchor="middle" className="moves-letter">
        {letterOf(i)}
      </text>
    </svg>
  );
}

function detailOf({ method, left, movement }: Mover): string {
  const rate = movement.hertz >= AUDIO_RATE_HERTZ ? ', at audio rate' : '';
  return method === 'exact' ? `exact${rate}` : `silenced in turn: ${Math.round(100 * left)} % of the movement left without it${rate}`;
}

function drivenText({ drives, left }: Driver, movers: readonly Mover[]): string {
  const names = movers.filter(({ key }) => drives.includes(key)).map(({ label }) => label);
  return `drives ${names.join(', ')}; ${Math.round(100 * left)} % of the movement left without it`;
}

/** All ways, each cable with the shares that run through it; or the way of one source alone. */
export function highlightOf(answer: MovesAnswer, key: string | undefined): HighlightState {
  const { movers, drivers, idle, target } = answer;
  const mover = movers.find((source) => source.key === key);
  const other = [...drivers, ...idle].find((source) => source.key === key);
  const shown = mover ? [mover] : other ? [] : movers;
  const cables = new Map<string, number>((other?.cables ?? []).map((name) => [name, 0]));
  for (const { cables: way, share } of shown) for (const name of way) cables.set(name, Math.min(1, (cables.get(name) ?? 0) + share));
  const blocks = [target.block, ...(other?.blocks ?? []), ...shown.flatMap((source) => source.blocks)];
  return { blocks: new Set(blocks), cables };
}
