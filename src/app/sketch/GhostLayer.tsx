/** The function that is being dragged out of the list, where it would be placed. */
import { blockSize } from '../../sheet/drawing/geometry.ts';
import { useApp } from '../app.ts';
import { SymbolDrawing } from '../SymbolDrawing.tsx';
import { useSketch } from './sketchStore.ts';

export function GhostLayer() {
  const { catalogue, symbols } = useApp();
  const ghost = useSketch((state) => state.ghost);
  const spec = ghost && catalogue.get(ghost.type);
  const symbol = ghost && symbols[ghost.type];
  if (!ghost || !spec || !symbol) return null;
  const { symbolWidth, symbolHeight } = blockSize(spec, symbol);
  const [x, y] = ghost.at;
  return (
    <svg className="ghost" width="1" height="1" aria-hidden="true">
      <SymbolDrawing symbol={symbol} x={x - symbolWidth / 2} y={y - symbolHeight / 2} width={symbolWidth} height={symbolHeight} />
    </svg>
  );
}
