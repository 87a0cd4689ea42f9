/** The voltage over the take as a stack of its sources' shares, or one row for each of them. */
import { useId } from 'react';
import type { MovesAnswer } from '../../insight/moves/answer.ts';
import { type Band, layersOf } from './layers.ts';
import { colourOf, letterOf, Pattern } from './Pattern.tsx';

const WIDTH = 272;
const LEFT = 46;
const STACK = 112;
const ROW = 34;
const FOOT = 14;

interface Props {
  readonly answer: MovesAnswer;
  /** Key of the source that is pointed at. */
  readonly lit: string | undefined;
}

export function MovesDrawing({ answer, lit }: Props) {
  const id = useId();
  const layers = layersOf(answer);
  const { kind, bands, whole, least, most } = layers;
  const span = most - least || 1;
  const y = (volts: number, top: number, height: number): number => top + 3 + ((most - volts) / span) * (height - 6);
  const height = kind === 'stack' ? STACK : ROW * (bands.length + 1);
  const iOf = (key: string): number => {
    const i = answer.movers.findIndex((mover) => mover.key === key);
    return i < 0 ? answer.movers.length : i;
  };
  const place = (i: number): readonly [number, number] => (kind === 'stack' ? [0, STACK] : [ROW * (i + 1), ROW]);
  const [wholeTop, wholeHeight] = kind === 'stack' ? [0, STACK] : [0, ROW];
  const toPath = (band: Band, top: number, room: number): string => bandPath(band, (volts) => y(volts, top, room));
  const summary = kind === 'stack' ? 'stacked' : 'one row each';
  return (
    <svg
      className="moves-drawing"
      viewBox={`0 0 ${WIDTH} ${height + FOOT}`}
      role="img"
      aria-label={`Shares over ${plain(answer.seconds)} s, ${summary}: ${namesOf(answer)}`}
    >
      <defs>
        {[...answer.movers.keys(), answer.movers.length].map((i) => (
          <Pattern key={i} id={`${id}-${i}`} i={i} />
        ))}
      </defs>
      {kind === 'rows' && <path className="moves-whole-band" d={toPath(whole, wholeTop, wholeHeight)} />}
      {bands.map((band, n) => {
        const i = iOf(band.key);
        const [top, room] = place(n);
        return (
          <g key={band.key} className="moves-band" data-faint={lit !== undefined && lit !== band.key}>
            {kind === 'rows' && <path className="moves-rule" d={`M${LEFT} ${top} H${WIDTH}`} />}
            <path d={toPath(band, top, room)} fill={`url(#${id}-${i})`} style={{ stroke: colourOf(i) }} />
            {kind === 'rows' ? (
              <text x={LEFT - 6} y={top + room / 2 + 3.5} textAnchor="end" className="moves-letter">
                {letterOf(i)}
              </text>
            ) : (
              <StackLetter band={band} toY={(volts) => y(volts, top, room)} text={band.key === 'together' ? 'together' : letterOf(i)} />
            )}
          </g>
        );
      })}
      {kind === 'stack' && <path className="moves-whole" d={bandPath(whole, (volts) => y(volts, 0, STACK))} />}
      <Scale answer={answer} y={(volts) => y(volts, wholeTop, wholeHeight)} apart={wholeHeight > ROW} />
      <text className="moves-tick" x={LEFT} y={height + FOOT - 3}>
        0 s
      </text>
      <text className="moves-tick" x={WIDTH} y={height + FOOT - 3} textAnchor="end">
        {plain(answer.seconds)} s
      </text>
    </svg>
  );
}

/** The whole's greatest and least value, in words of the setting where it is one that moves. */
function Scale({ answer, y, apart }: { readonly answer: MovesAnswer; readonly y: (volts: number) => number; readonly apart: boolean }) {
  const { total, unit, range } = answer;
  const said = (value: number, text: string | undefined): string =>
    range && !range.alone && text ? text : `${plain(value)} ${unit}`.trim();
  const [top, bottom] = [y(total.most), y(total.least)];
  const room = apart ? 11 : 9;
  const gap = Math.max(0, room - (bottom - top)) / 2;
  return (
    <>
      <text className="moves-tick" x={LEFT - 4} y={Math.max(8, top + 3 - gap)} textAnchor="end">
        {said(total.most, range?.mostText)}
      </text>
      <text className="moves-tick" x={LEFT - 4} y={Math.max(8 + room, bottom + 3 + gap)} textAnchor="end">
        {said(total.least, range?.leastText)}
      </text>
    </>
  );
}

/** The letter stands where its band is thickest, if there is room at all. */
function StackLetter({ band, toY, text }: { readonly band: Band; readonly toY: (volts: number) => number; readonly text: string }) {
  const thick = band.low.map((low, c) => toY(low) - toY(band.high[c] as number));
  const inner = thick.map((size, c) => (c > thick.length * 0.06 && c < thick.length * 0.94 ? size : 0));
  const at = inner.indexOf(Math.max(...inner));
  if (at < 0 || (inner[at] as number) < 9) return null;
  const middle = (toY(band.low[at] as number) + toY(band.high[at] as number)) / 2;
  return (
    <text className="moves-letter" x={xOf(at, thick.length)} y={middle + 3.5} textAnchor="middle">
      {text}
    </text>
  );
}

const xOf = (column: number, count: number): number => LEFT + ((column + 0.5) / count) * (WIDTH - LEFT);

function bandPath({ low, high }: Band, toY: (volts: number) => number): string {
  const point = (volts: number, c: number): string => `${xOf(c, low.length).toFixed(1)} ${toY(volts).toFixed(1)}`;
  const above = high.map(point);
  const below = low.map(point).reverse();
  return `M${[...above, ...below].join(' L')} Z`;
}

function namesOf({ movers }: MovesAnswer): string {
  return movers.map(({ label, share }, i) => `${letterOf(i)} ${label}, ${Math.round(100 * share)} %`).join('; ') || 'nothing moves it';
}

function plain(value: number): string {
  return Math.abs(value) < 1e-4 ? '0' : Number(value.toPrecision(3)).toString();
}
