/** A whole patch as one self-contained SVG picture, for the printed sheet, files and links. */

import { orderBlocks } from '../../engine/plan/order.ts';
import type { Catalogue, SignalKind } from '../../patch/blockSpec.ts';
import { type Patch, placeName } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import type { BlockSymbol } from '../../patch/symbol.ts';
import { escapeXml } from '../escape.ts';
import { faceOf } from './face.ts';
import {
  type BlockGeometry,
  bounds,
  LABEL_SIZE,
  LINE_SIZE,
  NAME_SIZE,
  type Point,
  type PortGeometry,
  type PortName,
  patchGeometry,
  type Rect,
} from './geometry.ts';
import { signalKinds } from './kinds.ts';
import { lineStyles } from './lineStyles.ts';
import { type CableEnds, type CableRoute, cableEnds, routeCables } from './route.ts';
import { branchDot, CORNER_RADIUS, longestMiddle, svgPath } from './svgPath.ts';
import { symbolSvg } from './symbolSvg.ts';

export type Symbols = Readonly<Record<string, BlockSymbol>>;

export interface DrawingOptions {
  /** Black on white, or the colours of the page by CSS variables. */
  readonly theme?: 'print' | 'screen';
  /** Room around the drawing, in sketch units. */
  readonly margin?: number;
  /** Prefix of the ids inside, for pages that hold several drawings. */
  readonly idPrefix?: string;
}

interface Ink {
  readonly ink: string;
  readonly soft: string;
  readonly paper: string;
  readonly line: (kind: SignalKind) => string;
}

const inks: Readonly<Record<'print' | 'screen', Ink>> = {
  print: { ink: '#000', soft: '#333', paper: '#fff', line: () => '#000' },
  screen: {
    ink: 'var(--ink, #1f2a37)',
    soft: 'var(--ink-soft, #545d69)',
    paper: 'var(--paper, #faf8f3)',
    line: (kind) => `var(${lineStyles[kind].colour}, var(--ink, #1f2a37))`,
  },
};

const SANS = 'font-family="ui-sans-serif, system-ui, \'DejaVu Sans\', sans-serif"';
const MONO = 'font-family="ui-monospace, \'DejaVu Sans Mono\', monospace"';
const write = (value: number): string => String(Math.round(value * 100) / 100);

/** The picture as SVG source. Blocks of unknown type are left out. */
export function drawingSvg(patch: Patch, catalogue: Catalogue, symbols: Symbols, options: DrawingOptions = {}): string {
  const ink = inks[options.theme ?? 'print'];
  const lookUp = (block: Patch['blocks'][number]) => {
    const spec = catalogue.get(block.type);
    const symbol = symbols[block.type];
    return spec && symbol ? { spec, symbol, face: faceOf(block, spec) } : undefined;
  };
  const blocks = patchGeometry(patch.blocks, lookUp);
  const ends = cableEnds(patch, blocks, signalKinds(patch, catalogue));
  const routes = routeCables(blocks, ends);
  const lines = ends.flatMap((cable) => lineOf(cable, routes.get(cable.key)) ?? []);
  const used = new Set(ends.flatMap(({ key, source }) => [`in ${key}`, `out ${source}`]));
  const delayed = delayedCables(patch);
  const area = drawingArea(blocks, [...routes.values()], options.margin ?? 16);
  const prefix = options.idPrefix ?? 'drawing';

  const parts = [
    ...cablesSvg(lines, ink),
    ...[...routes.values()].filter((route) => delayed.has(route.key)).map((route) => delaySvg(route, ink)),
    ...patch.blocks.map((block) => {
      const known = lookUp(block);
      const geometry = blocks.get(block.id);
      return known && geometry ? blockSvg(block.id, geometry, known.symbol, used, ink) : '';
    }),
  ];
  const title = escapeXml(patch.title || 'Untitled patch');
  const desc = escapeXml(describePatch(patch, catalogue));
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${[area.x, area.y, area.width, area.height].map(write).join(' ')}" ` +
    `width="${write(area.width)}" height="${write(area.height)}" role="img" aria-labelledby="${prefix}-title ${prefix}-desc" fill="none">` +
    `<title id="${prefix}-title">${title}</title><desc id="${prefix}-desc">${desc}</desc>${parts.join('')}</svg>`
  );
}

/** Names ("block.port") of the inputs whose cable arrives one frame late, because it closes a loop. */
export function delayedCables(patch: Pick<Patch, 'blocks' | 'cables'>): ReadonlySet<string> {
  const edges = patch.cables.map((cable) => ({ name: placeName(cable.to), from: cable.from[0], to: cable.to[0] }));
  return orderBlocks(
    patch.blocks.map((block) => block.id),
    edges,
  ).delayed;
}

function drawingArea(blocks: ReadonlyMap<string, BlockGeometry>, routes: readonly CableRoute[], margin: number): Rect {
  const rects = [...blocks.values()].flatMap((block) => [block.box, block.label]);
  const points = routes.flatMap((route) => route.points.map(([x, y]) => ({ x, y, width: 0, height: 0 })));
  const area = bounds([...rects, ...points]) ?? { x: 0, y: 0, width: 160, height: 80 };
  return { x: area.x - margin, y: area.y - margin, width: area.width + 2 * margin, height: area.height + 2 * margin };
}

interface Line {
  readonly key: string;
  readonly kind: SignalKind;
  readonly path: string;
  readonly dot: Point | undefined;
}

/** A cable's own part together with the leads from its ports to the symbols. */
function lineOf(cable: CableEnds, route: CableRoute | undefined): Line | undefined {
  if (!route) return undefined;
  const points = [...route.points.slice(route.ownFrom), cable.to.lead];
  if (route.ownFrom === 0) points.unshift(cable.from.lead);
  return { key: cable.key, kind: cable.kind, path: svgPath(points, CORNER_RADIUS, route.jumps), dot: branchDot(route) };
}

/** All lines, then the middles of the double ones, so that branches of a double line open into each other; sound on top. */
function cablesSvg(lines: readonly Line[], ink: Ink): string[] {
  const order: readonly SignalKind[] = ['gate', 'control', 'pitch', 'audio'];
  const sorted = [...lines].sort((a, b) => (a.key < b.key ? -1 : 1));
  return order.flatMap((kind) => {
    const style = lineStyles[kind];
    const own = sorted.filter((line) => line.kind === kind);
    const dash = style.dash ? ` stroke-dasharray="${style.dash.join(' ')}"` : '';
    return [
      ...own.map(({ path }) => `<path d="${path}" stroke="${ink.line(kind)}" stroke-width="${style.width}"${dash}/>`),
      ...(style.core ? own.map(({ path }) => `<path d="${path}" stroke="${ink.paper}" stroke-width="${style.core}"/>`) : []),
      ...own.flatMap(({ dot }) => (dot ? [`<circle cx="${write(dot[0])}" cy="${write(dot[1])}" r="3" fill="${ink.line(kind)}"/>`] : [])),
    ];
  });
}

/** The unit delay of block diagrams, on the cable that closes a loop. */
function delaySvg(route: CableRoute, ink: Ink): string {
  const [x, y] = longestMiddle(route.points.slice(route.ownFrom));
  return (
    `<g transform="translate(${write(x)} ${write(y)})"><rect x="-11" y="-8" width="22" height="16" rx="2" fill="${ink.paper}" stroke="${ink.ink}"/>` +
    `<text y="3.5" text-anchor="middle" font-size="10" ${SANS} font-style="italic" fill="${ink.ink}">z<tspan dy="-3.5" font-size="7">−1</tspan></text></g>`
  );
}

function blockSvg(id: string, geometry: BlockGeometry, symbol: BlockSymbol, used: ReadonlySet<string>, ink: Ink): string {
  const { label } = geometry;
  const ports = geometry.ports.filter((port) => used.has(`${port.side === 'input' ? 'in' : 'out'} ${id}.${port.id}`));
  const line = label.line
    ? `<text x="${write(label.middle)}" y="${write(label.lineBaseline)}" text-anchor="middle" font-size="${LINE_SIZE}" ${MONO} fill="${ink.soft}">${escapeXml(label.line)}</text>`
    : '';
  return (
    `<g>${symbolSvg(symbol, geometry.symbol, { ink: ink.ink, paper: ink.paper, line: 1.2 })}` +
    `${ports.map((port) => endSvg(port, ports, ink)).join('')}` +
    `<text x="${write(label.middle)}" y="${write(label.labelBaseline)}" text-anchor="middle" font-size="${LABEL_SIZE}" font-weight="600" ${SANS} fill="${ink.ink}">${escapeXml(label.label)}</text>${line}</g>`
  );
}

/** An arrowhead where an input meets the symbol, and the port's name where it is needed. */
function endSvg(port: PortGeometry, used: readonly PortGeometry[], ink: Ink): string {
  return (
    (port.side === 'input' ? `<path d="${arrow(port)}" fill="${ink.ink}"/>` : '') + (port.name ? nameSvg(port, port.name, used, ink) : '')
  );
}

/** Names under the bottom edge stand right of their cable; left of it or upright where the next cable is too near. */
function nameSvg(port: PortGeometry, name: PortName, used: readonly PortGeometry[], ink: Ink): string {
  const nearer = (side: 1 | -1): boolean =>
    used.some((other) => other.edge === 'bottom' && side * (other.x - port.x) > 0 && side * (other.x - port.x) < name.rect.width + 8);
  const style = `font-size="${NAME_SIZE}" ${SANS} fill="${ink.soft}" stroke="${ink.paper}" stroke-width="2.5" stroke-linejoin="round" paint-order="stroke"`;
  const text = escapeXml(name.text);
  if (port.edge !== 'bottom' || !nearer(1))
    return `<text x="${write(name.x)}" y="${write(name.baseline)}" text-anchor="${name.anchor}" ${style}>${text}</text>`;
  if (!nearer(-1)) return `<text x="${write(port.x - 4)}" y="${write(name.baseline)}" text-anchor="end" ${style}>${text}</text>`;
  return `<text transform="translate(${write(port.x + 9)} ${write(port.y + 5)}) rotate(-90)" text-anchor="end" ${style}>${text}</text>`;
}

/** A filled arrowhead with its tip on the symbol's outline. */
function arrow(port: PortGeometry): string {
  const tip = port.lead;
  const dx = tip[0] - port.x;
  const dy = tip[1] - port.y;
  const length = Math.hypot(dx, dy);
  const [ux, uy] = length > 0.5 ? [dx / length, dy / length] : [-port.out[0], -port.out[1]];
  const back: Point = [tip[0] - 7 * ux, tip[1] - 7 * uy];
  const side = (sign: number): string => `${write(back[0] - sign * 3 * uy)} ${write(back[1] + sign * 3 * ux)}`;
  return `M${write(tip[0])} ${write(tip[1])}L${side(1)}L${side(-1)}Z`;
}

function describePatch(patch: Patch, catalogue: Catalogue): string {
  const named = new Map(patch.blocks.map((block) => [block.id, blockLabel(block, catalogue.get(block.type))]));
  const cables = patch.cables.map(
    (cable) => `${named.get(cable.from[0]) ?? cable.from[0]} ${cable.from[1]} to ${named.get(cable.to[0]) ?? cable.to[0]} ${cable.to[1]}`,
  );
  return `Block diagram of ${patch.blocks.length} blocks and ${patch.cables.length} cables. ${cables.join('; ')}.`;
}
