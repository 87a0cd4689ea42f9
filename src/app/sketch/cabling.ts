/**
 * Running a cable, as a small machine without a page: from a port, by drag, by two clicks or by keys, to a port of the
 * other side. Any output may feed any input.
 */
import { type Cable, type Place, placeName, samePlace } from '../../patch/document.ts';
import type { Point } from '../../sheet/drawing/geometry.ts';

export type Side = 'input' | 'output';

export interface PortRef {
  readonly place: Place;
  readonly side: Side;
}

export interface Cabling {
  readonly from: PortRef;
  /** The input the cable was lifted out of, if it was there before. */
  readonly lifted?: Place;
  readonly how: 'drag' | 'click' | 'keys';
  /** Where the loose end is, in sketch units; undefined until a pointer has moved. */
  readonly loose?: Point;
  readonly target?: PortRef;
}

export type CablingOutcome =
  | { readonly kind: 'connect'; readonly cable: Cable; readonly lifted?: Place }
  | { readonly kind: 'unplug'; readonly input: Place }
  | { readonly kind: 'nothing' };

/** Dragging from an occupied input lifts the cable out of it; otherwise a new cable begins at the port. */
export function startCabling(port: PortRef, how: Cabling['how'], cables: readonly Cable[]): Cabling {
  const there = how === 'drag' && port.side === 'input' ? cables.find((cable) => samePlace(cable.to, port.place)) : undefined;
  return there ? { from: { place: there.from, side: 'output' }, lifted: there.to, how } : { from: port, how };
}

/** Can the loose end go there? */
export function fits(cabling: Cabling, port: PortRef): boolean {
  return port.side !== cabling.from.side;
}

/** The loose end moves; a target that does not fit is none. */
export function aimCabling(cabling: Cabling, loose: Point | undefined, target: PortRef | undefined): Cabling {
  const { target: _before, ...rest } = cabling;
  return { ...rest, ...(loose && { loose }), ...(target && fits(cabling, target) && { target }) };
}

/** What letting go (or the second click) means. A lifted cable dropped on nothing is unplugged. */
export function endCabling(cabling: Cabling): CablingOutcome {
  const { from, target, lifted } = cabling;
  if (!target) return lifted ? { kind: 'unplug', input: lifted } : { kind: 'nothing' };
  const cable = from.side === 'output' ? { from: from.place, to: target.place } : { from: target.place, to: from.place };
  if (lifted && samePlace(lifted, cable.to)) return { kind: 'nothing' };
  return { kind: 'connect', cable, ...(lifted && { lifted }) };
}

/** A name for maps and element ids: inputs and outputs of one block may share an id. */
export function portName(port: PortRef): string {
  return `${port.side} ${placeName(port.place)}`;
}
