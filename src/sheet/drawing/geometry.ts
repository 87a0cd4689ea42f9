/**
 * Where everything of a block lies on the sketch: body, symbol, label and ports, in sketch units with y down.
 * Canvas, printed sheet and pictures share it. Sound enters on the left edge and leaves on the right, control rises
 * into the bottom edge, so the label and the line of key settings stand above the body.
 *
 * All ports stand on the 8-unit grid when the block does, whether they are used or not, so that nothing moves when a cable is run.
 */
import { type BlockSpec, inputEdge, type SignalKind } from '../../patch/blockSpec.ts';
import type { Block } from '../../patch/document.ts';
import type { BlockSymbol } from '../../patch/symbol.ts';
import { lowerFirst } from '../../patch/values/index.ts';
import { crossings, outlineOf, type Point } from './outline.ts';
import { fitText, monoWidth, sansWidth } from './text.ts';

export type { Point } from './outline.ts';

export const GRID = 8;
/** Least distance between two ports of one edge. */
export const PORT_STEP = 16;
export const LABEL_SIZE = 13;
export const LINE_SIZE = 10;
export const NAME_SIZE = 9;
const LABEL_HEIGHT = 16;
const LINE_HEIGHT = 13;
/** Room between the label and the body. */
const LABEL_GAP = 4;
/** Where the symbol stands lower than the body, the label comes down after it by as much as this: no port is that near to the top. */
const LABEL_SINK = 8;
/** Wider labels are shortened with an ellipsis. */
export const LABEL_ROOM = 176;
/** A symbol that is no box grows to at most this share of its size; further ports reach it by slanted leads. */
const MOST_SCALE = 4 / 3;
const FAN_ROOM = 32;
/** Leads slant when the outermost port stands further out than this share of the symbol's half height, and end within the second share. */
const FAN_FROM = 0.85;
const FAN_TO = 0.75;

export interface Rect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export type Edge = 'left' | 'right' | 'bottom';

/** The small name at a port. */
export interface PortName {
  readonly text: string;
  readonly x: number;
  readonly baseline: number;
  readonly anchor: 'start' | 'end';
  readonly rect: Rect;
}

export interface PortGeometry {
  readonly id: string;
  readonly title: string;
  readonly kind: SignalKind;
  readonly side: 'input' | 'output';
  readonly edge: Edge;
  /** Where the cable ends. */
  readonly x: number;
  readonly y: number;
  /** Unit vector that points away from the block. */
  readonly out: Point;
  /** Where the lead from the port meets the symbol's outline (equal to x, y where the port stands on it). */
  readonly lead: Point;
  /** Its name as small text beside it, where a block has several ports on that edge. */
  readonly name?: PortName;
}

/** The two lines of text above a block. */
export interface BlockFace {
  readonly label: string;
  /** Key settings: "110 Hz saw"; may be empty. */
  readonly line: string;
}

export interface LabelGeometry extends Rect {
  /** As shown: shortened where they are too long. */
  readonly label: string;
  readonly line: string;
  /** Centre of both lines of text. */
  readonly middle: number;
  readonly labelBaseline: number;
  readonly lineBaseline: number;
}

export interface BlockGeometry {
  readonly at: Point;
  /** The body with its ports on the edges: what a pointer grabs and a cable avoids. */
  readonly box: Rect;
  /** Where the symbol's unit box is drawn. */
  readonly symbol: Rect;
  readonly label: LabelGeometry;
  readonly ports: readonly PortGeometry[];
}

const up16 = (value: number): number => Math.ceil(value / 16) * 16;

/** Size of a block's body, without placing it. Both sides are multiples of 16. */
export function blockSize(
  spec: BlockSpec,
  symbol: BlockSymbol,
): { width: number; height: number; symbolWidth: number; symbolHeight: number } {
  const left = spec.inputs.filter((input) => inputEdge(input) === 'left').length;
  const needHeight = sideRoom(Math.max(left, spec.outputs.length));
  const needWidth = (spec.inputs.length - left) * PORT_STEP;
  const width = Math.max(up16(symbol.width), needWidth);
  const height = Math.max(up16(symbol.height), needHeight);
  if (outlineOf(symbol).boxLike) return { width, height, symbolWidth: width, symbolHeight: height };
  // Sound ports stand best on the symbol itself; control fans in from below.
  const scale = Math.min(MOST_SCALE, Math.max(1, needHeight / symbol.height));
  const symbolWidth = symbol.width * scale;
  const symbolHeight = symbol.height * scale;
  return {
    width: up16(Math.max(width, symbolWidth + (needHeight > symbolHeight ? FAN_ROOM : 0))),
    height: up16(Math.max(height, symbolHeight + (needWidth > symbolWidth ? FAN_ROOM / 2 : 0))),
    symbolWidth,
    symbolHeight,
  };
}

/**
 * The geometry of one block.
 * @param at the centre of the body in sketch units
 * @param face texts above it; left out: the spec's title alone
 */
export function blockGeometry(spec: BlockSpec, symbol: BlockSymbol, at: Point, face?: BlockFace): BlockGeometry {
  const size = blockSize(spec, symbol);
  const [cx, cy] = at;
  const box = { x: cx - size.width / 2, y: cy - size.height / 2, width: size.width, height: size.height };
  const symbolBox = { x: cx - size.symbolWidth / 2, y: cy - size.symbolHeight / 2, width: size.symbolWidth, height: size.symbolHeight };
  const body = outlineOf(symbol).polygon.map(([x, y]): Point => [symbolBox.x + x * symbolBox.width, symbolBox.y + y * symbolBox.height]);
  const left = spec.inputs.filter((input) => inputEdge(input) === 'left');
  const bottom = spec.inputs.filter((input) => inputEdge(input) === 'bottom');
  const { boxLike } = outlineOf(symbol);
  const squeeze = {
    left: boxLike ? 1 : squeezeOf(left.length, box.height, symbolBox.height),
    right: boxLike ? 1 : squeezeOf(spec.outputs.length, box.height, symbolBox.height),
    bottom: boxLike ? 1 : squeezeOf(bottom.length, box.width, symbolBox.width),
  };
  const port = (
    spot: { id: string; title: string; kind: SignalKind },
    side: 'input' | 'output',
    edge: Edge,
    offset: number,
  ): PortGeometry => {
    const x = edge === 'left' ? box.x : edge === 'right' ? box.x + box.width : cx + offset;
    const y = edge === 'bottom' ? box.y + box.height : cy + offset;
    const out: Point = edge === 'left' ? [-1, 0] : edge === 'right' ? [1, 0] : [0, 1];
    const plain = {
      id: spot.id,
      title: spot.title,
      kind: spot.kind,
      side,
      edge,
      x,
      y,
      out,
      lead: leadEnd(body, [x, y], out, at, squeeze[edge]),
    };
    const mates = edge === 'left' ? left.length : edge === 'right' ? spec.outputs.length : bottom.length;
    return mates > 1 ? { ...plain, name: portName(plain) } : plain;
  };
  const ports = [
    ...left.map((input, i) => port(input, 'input', 'left', sideOffset(i, left.length, box.height))),
    ...bottom.map((input, i) => port(input, 'input', 'bottom', offsetOf(i, bottom.length, box.width))),
    ...spec.outputs.map((output, i) => port(output, 'output', 'right', sideOffset(i, spec.outputs.length, box.height))),
  ];
  return {
    at,
    box,
    symbol: symbolBox,
    label: labelGeometry(face ?? { label: spec.title, line: '' }, cx, Math.min(symbolBox.y, box.y + LABEL_SINK)),
    ports,
  };
}

/** Two ports take as much room as three, because the first one stands in the middle. */
function sideRoom(count: number): number {
  return (count === 2 ? 3 : count) * PORT_STEP;
}

/**
 * Place of port i of n on a side edge, from its middle. Of two the first stands in the middle, so that the main line of a patch
 * runs straight through blocks whose second output or input is a side matter.
 */
function sideOffset(i: number, n: number, edgeLength: number): number {
  return n === 2 ? i * PORT_STEP : offsetOf(i, n, edgeLength);
}

/** Place of port i of n on an edge, from its middle: evenly spaced, on the grid. */
function offsetOf(i: number, n: number, edgeLength: number): number {
  const step = Math.min(2 * PORT_STEP, Math.max(PORT_STEP, Math.floor(edgeLength / n / PORT_STEP) * PORT_STEP));
  return (i - (n - 1) / 2) * step;
}

/** Straight inwards to the body; slanted where the ports of the edge reach further than the body, so that they fan out from it. */
function leadEnd(body: readonly Point[], from: Point, out: Point, centre: Point, squeeze: number): Point {
  const inner: Point =
    out[1] === 0 ? [centre[0], centre[1] + (from[1] - centre[1]) * squeeze] : [centre[0] + (from[0] - centre[0]) * squeeze, centre[1]];
  const straight: Point = out[1] === 0 ? [from[0] - out[0] * 0.5, inner[1]] : [inner[0], from[1] - out[1] * 0.5];
  const start = squeeze === 1 ? from : straight;
  const share = crossings(body, start, inner)[0] ?? crossings(body, start, centre)[0];
  return share === undefined ? from : [start[0] + (inner[0] - start[0]) * share, start[1] + (inner[1] - start[1]) * share];
}

/** By how much the ends of an edge's leads stand closer together than its ports. */
function squeezeOf(count: number, edgeLength: number, bodyLength: number): number {
  const furthest = Math.max(0, ...Array.from({ length: count }, (_, i) => Math.abs(offsetOf(i, count, edgeLength))));
  return furthest > FAN_FROM * (bodyLength / 2) ? (FAN_TO * (bodyLength / 2)) / furthest : 1;
}

/** Above the line at a side edge, right of it below. */
function portName(port: Pick<PortGeometry, 'title' | 'edge' | 'x' | 'y'>): PortName {
  const text = lowerFirst(port.title);
  const width = sansWidth(text, NAME_SIZE);
  const anchor = port.edge === 'left' ? 'end' : 'start';
  const x = port.edge === 'left' ? port.x - 7 : port.x + 4;
  const baseline = port.edge === 'bottom' ? port.y + NAME_SIZE + 3 : port.y - 3;
  return {
    text,
    x,
    baseline,
    anchor,
    rect: { x: anchor === 'end' ? x - width : x, y: baseline - NAME_SIZE + 1, width, height: NAME_SIZE },
  };
}

function labelGeometry(face: BlockFace, middle: number, top: number): LabelGeometry {
  const label = fitText(face.label, LABEL_ROOM, (text) => sansWidth(text, LABEL_SIZE, true));
  const line = fitText(face.line, LABEL_ROOM, (text) => monoWidth(text, LINE_SIZE));
  const width = Math.ceil(Math.max(sansWidth(label, LABEL_SIZE, true), monoWidth(line, LINE_SIZE)));
  const height = LABEL_HEIGHT + (line ? LINE_HEIGHT : 0) + LABEL_GAP;
  const y = top - height;
  return { label, line, middle, x: middle - width / 2, y, width, height, labelBaseline: y + 12, lineBaseline: y + LABEL_HEIGHT + 9 };
}

/** The geometry of every block that has a known type and a symbol, by block id. Blocks without a place are set in a row below the others. */
export function patchGeometry(
  blocks: readonly Block[],
  lookUp: (block: Block) => { readonly spec: BlockSpec; readonly symbol: BlockSymbol; readonly face: BlockFace } | undefined,
): Map<string, BlockGeometry> {
  const result = new Map<string, BlockGeometry>();
  const lowest = Math.max(0, ...blocks.map((block) => block.at?.[1] ?? 0));
  let unplaced = 0;
  for (const block of blocks) {
    const known = lookUp(block);
    if (!known) continue;
    const at = block.at ?? ([80 + 160 * (unplaced % 6), lowest + 160 * (1 + Math.floor(unplaced++ / 6))] as const);
    result.set(block.id, blockGeometry(known.spec, known.symbol, at, known.face));
  }
  return result;
}

export function portOf(geometry: BlockGeometry, side: 'input' | 'output', id: string): PortGeometry | undefined {
  return geometry.ports.find((port) => port.side === side && port.id === id);
}

/** The port nearest to a point, within `reach` sketch units. */
export function portNear(geometry: BlockGeometry, point: Point, reach: number): PortGeometry | undefined {
  let best: PortGeometry | undefined;
  let least = reach;
  for (const port of geometry.ports) {
    const distance = Math.hypot(port.x - point[0], port.y - point[1]);
    if (distance <= least) {
      least = distance;
      best = port;
    }
  }
  return best;
}

/** The smallest rectangle that holds all of them; undefined when there are none. */
export function bounds(rects: readonly Rect[]): Rect | undefined {
  if (rects.length === 0) return undefined;
  const x = Math.min(...rects.map((rect) => rect.x));
  const y = Math.min(...rects.map((rect) => rect.y));
  return {
    x,
    y,
    width: Math.max(...rects.map((rect) => rect.x + rect.width)) - x,
    height: Math.max(...rects.map((rect) => rect.y + rect.height)) - y,
  };
}

/** Snaps a point to the grid. */
export function snap(point: Point): Point {
  return [Math.round(point[0] / GRID) * GRID, Math.round(point[1] / GRID) * GRID];
}
