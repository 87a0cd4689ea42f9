import { changeBetween } from '../changeBetween.ts';
import type { Cable, Patch, Place } from '../document.ts';
import { samePlace } from '../document.ts';
import { blockLabel } from '../label.ts';
import { withinLimits } from '../limits.ts';
import { isRefusal, refuse } from '../refusal.ts';
import type { Command } from './command.ts';
import { findInput, findOutput, findPart } from './command.ts';

export interface Connect {
  /** An output. */
  readonly from: Place;
  /** An input. A cable already there makes room: an input takes one cable. */
  readonly to: Place;
  /** The input whose cable is being led to `to` instead (its far end was dragged away). */
  readonly instead?: Place;
}

/** Runs a cable from an output to an input, replacing the input's old cable in the same step. Any output may feed any input. */
export const connect: Command<Connect> = (patch, catalogue, { from, to, instead }) => {
  const [source, target] = [findPart(patch, catalogue, from[0]), findPart(patch, catalogue, to[0])];
  if (isRefusal(source)) return source;
  if (isRefusal(target)) return target;
  const ends = [findOutput(patch, catalogue, from), findInput(patch, catalogue, to)];
  const loose = ends.find(isRefusal);
  if (loose) return loose;
  const old = patch.cables.find((cable) => samePlace(cable.to, to));
  const led = instead && patch.cables.find((cable) => samePlace(cable.to, instead));
  if (instead && !led) return refuse('no-such-cable', `There is no cable into "${instead.join('.')}" to lead elsewhere.`);
  const cable: Cable = { from: [from[0], from[1]], to: [to[0], to[1]] };
  const after = { ...patch, cables: withCable(patch, cable, led ?? old, old) };
  const label = `Connect ${blockLabel(source.block, source.spec)} to ${blockLabel(target.block, target.spec)}`;
  return withinLimits(after) ?? changeBetween(patch, after, label);
};

/** The new cable takes the place of one it replaces, else the end of the list. */
function withCable(patch: Patch, cable: Cable, replaced: Cable | undefined, gone: Cable | undefined): readonly Cable[] {
  if (!replaced) return [...patch.cables, cable];
  return patch.cables.flatMap((other) => (other === replaced ? [cable] : other === gone ? [] : [other]));
}
