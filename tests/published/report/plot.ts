/** Plots as SVG, drawn with the page's own colours (classes, see style.ts) so that they follow light, dark and print. */

import { escapeXml as escaped } from '../../../src/sheet/escape.ts';
import type { Point } from '../check.ts';
import type { Scale } from './scale.ts';

export interface Series {
  /** Lines, hollow circles (published), full dots, stems from the bottom of the panel or from 0, a filled area above the bottom. */
  readonly as: 'line' | 'circles' | 'dots' | 'stems' | 'area';
  readonly points: readonly Point[];
  /** 1..5: colour and dash of a measured curve; `published`, `alias`, `pale`. */
  readonly style: string;
  /** Written on the curve, this share of the way along it. */
  readonly label?: { readonly say: string; readonly at: number };
}

export interface Rule {
  readonly y: number;
  readonly say?: string;
  readonly style: string;
}

export interface Panel {
  readonly y: Scale;
  readonly title: string;
  readonly height: number;
  readonly series: readonly Series[];
  readonly rules?: readonly Rule[];
  /** Written over the panel, at its left and right end. */
  readonly head?: readonly [left: string, right: string];
}

/** Units across: two figures in a row, or three. */
export const WIDE = 560;
export const SMALL = 366;
const LEFT = 46;
const RIGHT = 10;
const TOP = 8;
const GAP = 12;
const BOTTOM = 34;
const HEAD = 13;

const round = (value: number): string => String(Math.round(value * 10) / 10);

/** Line segments, cut where points leave the panel by far or are missing. */
function path(points: readonly Point[], place: (point: Point) => readonly [number, number]): string {
  let text = '';
  let pen = false;
  let last = '';
  for (const point of points) {
    if (!Number.isFinite(point.y) || !Number.isFinite(point.x)) {
      pen = false;
      continue;
    }
    const [x, y] = place(point);
    const step = `${round(x)} ${round(Math.min(5000, Math.max(-5000, y)))}`;
    if (step !== last) text += `${pen ? 'L' : 'M'}${step}`;
    last = step;
    pen = true;
  }
  return text;
}

function drawn(series: Series, panel: Panel, x: Scale, place: (point: Point) => readonly [number, number], floor: number): string {
  const { as, points, style } = series;
  const inside = points.filter((point) => x.at(point.x) >= -0.001 && x.at(point.x) <= 1.001);
  if (as === 'line') return `<path class="curve s-${style}" d="${path(inside, place)}"/>`;
  if (as === 'area') {
    const [first, last] = [inside[0], inside.at(-1)];
    if (!first || !last) return '';
    const ends = [place(last)[0], place(first)[0]].map((at) => `L${round(at)} ${round(floor)}`).join('');
    return `<path class="area s-${style}" d="${path(inside, place)}${ends}Z"/>`;
  }
  if (as === 'stems') {
    const zero = panel.y.from < 0 && panel.y.to > 0 && panel.y.from > -20 ? place({ x: x.from, y: 0 })[1] : floor;
    const stems = inside
      .filter(({ y }) => y > panel.y.from)
      .map((point) => {
        const [at, y] = place(point);
        return `M${round(at)} ${round(zero)}V${round(y)}`;
      });
    return `<path class="stems s-${style}" d="${stems.join('')}"/>`;
  }
  const shown = inside.filter(({ y }) => y >= panel.y.from && y <= panel.y.to);
  // One path of tiny half circles: smaller than an element each.
  const size = as === 'dots' ? 1.7 : points.length > 150 ? 2.2 : 3;
  const marks = shown.map((point) => {
    const [at, y] = place(point);
    return `M${round(at - size)} ${round(y)}a${size} ${size} 0 1 0 ${2 * size} 0a${size} ${size} 0 1 0 ${-2 * size} 0`;
  });
  return `<path class="${as} s-${style}" d="${marks.join('')}"/>`;
}

function labelOf({ label, points }: Series, place: (point: Point) => readonly [number, number]): string {
  const point = label && points[Math.round(label.at * (points.length - 1))];
  if (!point) return '';
  const [x, y] = place(point);
  return `<text class="note" x="${round(x)}" y="${round(y - 3)}" text-anchor="middle">${escaped(label.say)}</text>`;
}

let count = 0;

/** Panels above each other over one x axis. `alternative` is read in place of the picture. */
export function plot(x: Scale, xTitle: string, panels: readonly Panel[], alternative: string, width = WIDE): string {
  const right = width - RIGHT;
  const toX = (value: number): number => LEFT + x.at(value) * (right - LEFT);
  const parts: string[] = [];
  let top = TOP;
  for (const panel of panels) {
    if (panel.head) {
      top += HEAD;
      const [left, end] = panel.head;
      parts.push(
        `<text class="head" x="${LEFT}" y="${top - 4}">${escaped(left)}</text>`,
        `<text class="head" x="${right}" y="${top - 4}" text-anchor="end">${escaped(end)}</text>`,
      );
    }
    const floor = top + panel.height;
    const toY = (value: number): number => floor - panel.y.at(value) * panel.height;
    const place = (point: Point) => [toX(point.x), toY(point.y)] as const;
    const clip = `c${++count}`;
    const grid = [
      ...x.fine.map((value) => `<path class="fine" d="M${round(toX(value))} ${top}V${floor}"/>`),
      ...x.ticks.map((value) => `<path class="grid" d="M${round(toX(value))} ${top}V${floor}"/>`),
      ...panel.y.ticks.map((value) => `<path class="grid" d="M${LEFT} ${round(toY(value))}H${right}"/>`),
    ];
    const names = panel.y.ticks.map(
      (value) => `<text class="tick" x="${LEFT - 5}" y="${round(toY(value) + 3.5)}" text-anchor="end">${panel.y.write(value)}</text>`,
    );
    const rules = (panel.rules ?? []).map(({ y, say, style }) => {
      const at = round(toY(y));
      const name = say ? `<text class="note" x="${right - 4}" y="${round(toY(y) - 4)}" text-anchor="end">${escaped(say)}</text>` : '';
      return `<path class="rule s-${style}" d="M${LEFT} ${at}H${right}"/>${name}`;
    });
    const title = `<text class="axis" transform="translate(11 ${round((top + floor) / 2)}) rotate(-90)" text-anchor="middle">${escaped(panel.title)}</text>`;
    parts.push(
      `<clipPath id="${clip}"><rect x="${LEFT}" y="${top - 1}" width="${right - LEFT}" height="${panel.height + 2}"/></clipPath>`,
      `<rect class="panel" x="${LEFT}" y="${top}" width="${right - LEFT}" height="${panel.height}"/>`,
      ...grid,
      `<g clip-path="url(#${clip})">${panel.series.map((one) => drawn(one, panel, x, place, floor)).join('')}</g>`,
      ...rules,
      ...names,
      title,
      ...panel.series.map((one) => labelOf(one, place)),
    );
    top = floor + GAP;
  }
  const base = top - GAP;
  const names = x.ticks.map(
    (value) => `<text class="tick" x="${round(toX(value))}" y="${base + 14}" text-anchor="middle">${x.write(value)}</text>`,
  );
  const title = `<text class="axis" x="${(LEFT + right) / 2}" y="${base + 29}" text-anchor="middle">${escaped(xTitle)}</text>`;
  const height = base + BOTTOM;
  return `<svg viewBox="0 0 ${width} ${height}" role="img" aria-label="${escaped(alternative)}">${parts.join('')}${names.join('')}${title}</svg>`;
}
