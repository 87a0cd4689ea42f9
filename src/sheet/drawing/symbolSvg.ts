/** Symbols as drawing data in sketch units, and as SVG. One drawing serves canvas, list, sheet and print. */
import type { BlockSymbol } from '../../patch/symbol.ts';
import { escapeXml } from '../escape.ts';
import type { Rect } from './geometry.ts';
import { mapPath, outlineOf, type Point } from './outline.ts';

export type PlacedMark =
  | { readonly path: string; readonly fill: boolean; readonly weight: number; readonly dashed: boolean }
  | { readonly text: string; readonly x: number; readonly y: number; readonly size: number };

export interface PlacedSymbol {
  readonly outline: string;
  readonly marks: readonly PlacedMark[];
}

/** Corners of a stretched box keep their natural size up to this share from each side. */
const CORNER_SHARE = 0.25;

/**
 * A symbol drawn into `rect`. A box-like body is stretched to fill it, with corners kept; any other keeps its shape.
 * The marks keep their shape and stand in the middle.
 */
export function placeSymbol(symbol: BlockSymbol, rect: Rect): PlacedSymbol {
  const scale = Math.min(rect.width / symbol.width, rect.height / symbol.height);
  const width = symbol.width * scale;
  const height = symbol.height * scale;
  const left = rect.x + (rect.width - width) / 2;
  const top = rect.y + (rect.height - height) / 2;
  const natural = ([x, y]: Point): Point => [left + x * width, top + y * height];
  const stretched = ([x, y]: Point): Point => [rect.x + stretch(x, width, rect.width), rect.y + stretch(y, height, rect.height)];
  const place = outlineOf(symbol).boxLike ? stretched : natural;
  return {
    outline: mapPath(symbol.outline, place, [width, height]),
    marks: symbol.marks.map((mark): PlacedMark => {
      if ('text' in mark) {
        const [x, y] = natural([mark.x, mark.y]);
        return { text: mark.text, x, y, size: mark.size * height };
      }
      return {
        path: mapPath(mark.path, natural, [width, height]),
        fill: mark.fill ?? false,
        weight: mark.weight ?? 1,
        dashed: mark.dashed ?? false,
      };
    }),
  };
}

function stretch(share: number, natural: number, length: number): number {
  if (share <= CORNER_SHARE) return share * natural;
  if (share >= 1 - CORNER_SHARE) return length - (1 - share) * natural;
  const from = CORNER_SHARE * natural;
  return from + ((share - CORNER_SHARE) / (1 - 2 * CORNER_SHARE)) * (length - 2 * from);
}

export interface SymbolInk {
  readonly ink: string;
  readonly paper: string;
  /** Width of a mark of weight 1. */
  readonly line: number;
}

/** SVG fragments: the body filled with paper, then the marks. */
export function symbolSvg(symbol: BlockSymbol, rect: Rect, { ink, paper, line }: SymbolInk): string {
  const { outline, marks } = placeSymbol(symbol, rect);
  const join = 'stroke-linejoin="round" stroke-linecap="round"';
  const drawn = marks.map((mark) => {
    if ('text' in mark) {
      return `<text x="${round(mark.x)}" y="${round(mark.y)}" font-size="${round(mark.size)}" text-anchor="middle" dominant-baseline="central" fill="${ink}">${escapeXml(mark.text)}</text>`;
    }
    const dash = mark.dashed ? ' stroke-dasharray="2.5 2.5"' : '';
    return `<path d="${mark.path}" fill="${mark.fill ? ink : 'none'}" stroke="${ink}" stroke-width="${round(line * mark.weight)}"${dash} ${join}/>`;
  });
  return `<path d="${outline}" fill="${paper}" stroke="${ink}" stroke-width="${round(line * 1.15)}" ${join}/>${drawn.join('')}`;
}

const round = (value: number): number => Math.round(value * 100) / 100;
