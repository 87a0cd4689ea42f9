/** A block's symbol, drawn by the same data as on the printed sheet. */
import { memo } from 'react';
import type { BlockSymbol } from '../patch/symbol.ts';
import { type PlacedMark, placeSymbol } from '../sheet/drawing/symbolSvg.ts';

export interface SymbolDrawingProps {
  readonly symbol: BlockSymbol;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** An SVG group that fills the rectangle. */
export const SymbolDrawing = memo(function SymbolDrawing({ symbol, x, y, width, height }: SymbolDrawingProps) {
  const { outline, marks } = placeSymbol(symbol, { x, y, width, height });
  return (
    <g className="symbol">
      <path className="symbol-body" d={outline} />
      {marks.map((mark) => (
        <MarkDrawing key={'text' in mark ? `${mark.text} ${mark.x} ${mark.y}` : mark.path} mark={mark} />
      ))}
    </g>
  );
});

function MarkDrawing({ mark }: { readonly mark: PlacedMark }) {
  if ('text' in mark) {
    return (
      <text x={mark.x} y={mark.y} fontSize={mark.size}>
        {mark.text}
      </text>
    );
  }
  return (
    <path
      className={mark.fill ? 'symbol-fill' : 'symbol-line'}
      d={mark.path}
      style={{ strokeWidth: `calc(var(--symbol-line) * ${mark.weight})` }}
      strokeDasharray={mark.dashed ? '2.5 2.5' : undefined}
    />
  );
}

const THUMB = 22;

/** A small symbol beside a function's name. */
export function SymbolThumb({ symbol }: { readonly symbol: BlockSymbol | undefined }) {
  const scale = symbol ? Math.min(THUMB / symbol.width, THUMB / symbol.height) : 1;
  const width = (symbol?.width ?? 0) * scale;
  const height = (symbol?.height ?? 0) * scale;
  const size = THUMB + 4;
  return (
    <svg className="symbol-thumb" width={size} height={size} viewBox={`-2 -2 ${size} ${size}`} aria-hidden="true" focusable="false">
      {symbol && <SymbolDrawing symbol={symbol} x={(THUMB - width) / 2} y={(THUMB - height) / 2} width={width} height={height} />}
    </svg>
  );
}
