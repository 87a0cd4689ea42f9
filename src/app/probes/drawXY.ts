/** One probe against another: volts across and up on equal scales. */
import { cellsOfPath } from '../../measure/pathCells.ts';
import type { Drawing } from './drawing.ts';
import { AXIS, drawSentence, line, visibleFrames } from './drawParts.ts';
import { type Lane, laneName, type Window } from './lanes.ts';
import { voltsText } from './noteText.ts';
import { fitVolts, ticks } from './scales.ts';
import type { ScopeState } from './scopeStore.ts';

interface Pair {
  readonly across: { readonly lane: Lane; readonly window: Window };
  readonly up: { readonly lane: Lane; readonly window: Window };
}

/** Names of the chosen probes, across and up; where nothing is chosen the first two of sound or control, else of any kind. */
export function chosenPair(
  lanes: readonly Lane[],
  { across, up }: Pick<ScopeState, 'across' | 'up'>,
): readonly [string, string] | undefined {
  const has = (name: string | undefined): string | undefined => lanes.find((lane) => lane.name === name)?.name;
  const smooth = ({ kind }: Lane): boolean => kind === 'audio' || kind === 'control';
  const usual = [...lanes.filter(smooth), ...lanes.filter((lane) => !smooth(lane))];
  const first = has(across) ?? usual.find(({ name }) => name !== up)?.name;
  const second = has(up) ?? usual.find(({ name }) => name !== first)?.name;
  return first !== undefined && second !== undefined ? [first, second] : undefined;
}

/** The chosen probes with what there is of them. */
export function pairOf({ probes, scope }: Pick<Drawing, 'probes' | 'scope'>): Pair | undefined {
  const names = chosenPair(
    probes.map(({ lane }) => lane),
    scope,
  );
  const across = probes.find(({ lane }) => lane.name === names?.[0]);
  const up = probes.find(({ lane }) => lane.name === names?.[1]);
  if (!across?.window || !up?.window) return undefined;
  return { across: { lane: across.lane, window: across.window }, up: { lane: up.lane, window: up.window } };
}

/** Where the square stands and which volts it spans. */
interface Square {
  readonly left: number;
  readonly top: number;
  readonly side: number;
  readonly low: number;
  readonly high: number;
}

/** The newest frame of both on the screen, as volts; undefined where there is none. */
export function lastPoint(pair: Pair, axis: Drawing['axis']): readonly [number, number] | undefined {
  const { from, to } = visibleFrames(pair.across.window, axis);
  for (let n = to - 1; n >= from; n--) {
    const point = [pair.across.window.samples[n] as number, pair.up.window.samples[n] as number] as const;
    if (Number.isFinite(point[0] + point[1])) return point;
  }
  return undefined;
}

/** One round range for both directions. */
function rangeOf({ across, up }: Pair, { axis, scope }: Drawing): readonly [number, number] {
  if (scope.volts !== 'auto') return scope.volts;
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { window } of [across, up]) {
    const { from, to } = visibleFrames(window, axis);
    for (let n = from; n < to; n++) {
      const value = window.samples[n] as number;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  return fitVolts(low, high);
}

export function drawXY(drawing: Drawing): void {
  const { context, width, height, paint, gutter, axis, pointer, pointerY } = drawing;
  context.font = paint.font;
  context.textBaseline = 'middle';
  const pair = pairOf(drawing);
  if (!pair) {
    drawSentence(drawing, drawing.probes.length < 2 ? 'X-Y takes two probes: clip another one on.' : 'no signal yet', height / 2);
    return;
  }
  const [low, high] = rangeOf(pair, drawing);
  const side = Math.max(40, Math.min(width - gutter - 8, height - AXIS - 8));
  const square: Square = { left: Math.max(gutter, Math.round((width - side) / 2)), top: 6, side, low, high };
  drawGrid(drawing, square);
  const x = (volts: number): number => square.left + ((volts - low) / (high - low)) * side;
  const y = (volts: number): number => square.top + side - ((volts - low) / (high - low)) * side;
  drawPath(drawing, pair, square);
  const last = lastPoint(pair, axis);
  context.fillStyle = paint.ink;
  context.textAlign = 'left';
  const words = square.left + side + 12;
  if (words < width - 60) {
    context.fillText(`across ${laneName(pair.across.lane)}`, words, 14, width - words);
    context.fillText(`up     ${laneName(pair.up.lane)}`, words, 30, width - words);
  }
  if (last) markPoint(drawing, x(last[0]), y(last[1]));
  if (pointer !== undefined && pointerY !== undefined && pointer >= square.left && pointer <= square.left + side && pointerY <= 6 + side) {
    line(context, paint.pick, pointer, square.top, pointer, square.top + side);
    line(context, paint.pick, square.left, pointerY, square.left + side, pointerY);
    const at = (share: number): string => voltsText(low + share * (high - low));
    const text = `${at((pointer - square.left) / side)}, ${at(1 - (pointerY - square.top) / side)}`;
    const right = pointer > square.left + side / 2;
    context.textAlign = right ? 'right' : 'left';
    context.fillText(text, pointer + (right ? -8 : 8), pointerY < 30 ? pointerY + 12 : pointerY - 10);
  }
}

function drawGrid({ context, paint }: Drawing, { left, top, side, low, high }: Square): void {
  for (const volts of ticks(low, high, Math.max(2, Math.floor(side / 48)))) {
    const share = (volts - low) / (high - low);
    const style = Math.abs(volts) < 1e-9 ? paint.before : paint.rule;
    line(context, style, left + share * side, top, left + share * side, top + side);
    line(context, style, left, top + (1 - share) * side, left + side, top + (1 - share) * side);
    context.fillStyle = paint.soft;
    const text = `${Number(volts.toPrecision(6))} V`;
    context.textAlign = 'right';
    context.fillText(text, left - 6, Math.min(top + side - 4, Math.max(top + 4, top + (1 - share) * side)));
    context.textAlign = share > 0.97 ? 'right' : share < 0.03 ? 'left' : 'center';
    context.fillText(text, left + share * side, top + side + AXIS / 2 + 3);
  }
}

/** All frames on the screen, joined; the last fifth of them in ink, so that one sees which way it goes. */
function drawPath({ context, paint, axis }: Drawing, { across, up }: Pair, { left, top, side, low, high }: Square): void {
  const cells = Math.floor(side * 2);
  const scale = cells / (high - low);
  const grid = {
    columns: cells,
    rows: cells,
    column: (volts: number): number => (volts - low) * scale,
    row: (volts: number): number => cells - (volts - low) * scale,
  };
  const { from, to } = visibleFrames(across.window, axis);
  const late = from + Math.floor((to - from) * 0.8);
  for (const [style, first, last] of [
    [paint.soft, from, late],
    [paint.ink, late, to],
  ] as const) {
    context.fillStyle = style;
    for (const run of cellsOfPath(across.window.samples, up.window.samples, grid, first, last))
      context.fillRect(left + run.from / 2 - 0.25, top + run.row / 2 - 0.25, (run.to - run.from) / 2 + 0.5, 1);
  }
}

/** A ring and a cross, told by its shape. */
function markPoint({ context, paint }: Drawing, x: number, y: number): void {
  context.strokeStyle = paint.pick;
  context.lineWidth = 2;
  context.beginPath();
  context.arc(x, y, 6, 0, 2 * Math.PI);
  context.stroke();
  line(context, paint.ink, x - 9, y, x + 9, y);
  line(context, paint.ink, x, y - 9, x, y + 9);
}

/** The newest point in words, for the probe across and for the one up. */
export function sayXY(drawing: Drawing, i: number): string {
  const pair = pairOf(drawing);
  const last = pair && lastPoint(pair, drawing.axis);
  const name = drawing.probes[i]?.lane.name;
  if (!pair || !last) return '';
  const parts = [
    pair.across.lane.name === name && `across, ends at ${voltsText(last[0])}`,
    pair.up.lane.name === name && `up, ends at ${voltsText(last[1])}`,
  ];
  return parts.filter(Boolean).join('; ');
}
