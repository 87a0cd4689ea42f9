/** A block's symbol, drawn by the same data as on the printed sheet. */
import type { BlockSymbol, Mark } from '../patch/symbol.ts';

export interface SymbolDrawingProps {
  readonly symbol: BlockSymbol;
  readonly x?: number;
  readonly y?: number;
  readonly width: number;
  readonly height: number;
}

/** An SVG group: the unit box stretched to the rectangle, lines of one width whatever the size. */
export function SymbolDrawing({ symbol, x = 0, y = 0, width, height }: SymbolDrawingProps) {
  return (
    <g className="symbol" transform={`translate(${x} ${y}) scale(${width} ${height})`}>
      <path className="symbol-body" d={symbol.outline} vectorEffect="non-scaling-stroke" />
      {symbol.marks.map((mark) => (
        <MarkDrawing key={'text' in mark ? `${mark.text} ${mark.x} ${mark.y}` : mark.path} mark={mark} width={width} height={height} />
      ))}
    </g>
  );
}

function MarkDrawing({ mark, width, height }: { readonly mark: Mark; readonly width: number; readonly height: number }) {
  if ('text' in mark) {
    return (
      <text transform={`translate(${mark.x} ${mark.y}) scale(${1 / width} ${1 / height})`} fontSize={mark.size * height}>
        {mark.text}
      </text>
    );
  }
  return (
    <path
      className={mark.fill ? 'symbol-fill' : 'symbol-line'}
      d={mark.path}
      vectorEffect="non-scaling-stroke"
      style={{ strokeWidth: `calc(var(--symbol-line) * ${mark.weight ?? 1})` }}
      strokeDasharray={mark.dashed ? '3 2.5' : undefined}
    />
  );
}

/** A small symbol beside a function's name. */
export function SymbolThumb({ symbol }: { readonly symbol: BlockSymbol | undefined }) {
  const size = 22;
  const scale = symbol ? Math.min(size / symbol.width, size / symbol.height) : 1;
  const width = (symbol?.width ?? 0) * scale;
  const height = (symbol?.height ?? 0) * scale;
  return (
    <svg
      className="symbol-thumb"
      width={size + 4}
      height={size + 4}
      viewBox={`-2 -2 ${size + 4} ${size + 4}`}
      aria-hidden="true"
      focusable="false"
    >
      {symbol && <SymbolDrawing symbol={symbol} x={(size - width) / 2} y={(size - height) / 2} width={width} height={height} />}
    </svg>
  );
}
