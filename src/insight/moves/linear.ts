/** On which ways a source's share is exact: superposition holds there. */
import { type Place, placeName } from '../../patch/document.ts';
import type { Heard } from '../heard.ts';
import { moves } from '../tally.ts';
import { sourceOf, type Wired } from '../wired.ts';
import type { Cone, Source } from './cone.ts';
import type { Quantity } from './quantity.ts';

/**
 * From the source to the place there are only linear flows, nothing else moves at the blocks on the way, none of them reaches a rail, no hand is
 * at the amount that scales it in the end, and no mover acts on another by the same ways.
 */
export function isExact(wired: Wired, cone: Cone, source: Source, movers: readonly Source[], heard: Heard, quantity: Quantity): boolean {
  if (source.setting !== undefined) return isDirectHand(cone, source, quantity, wired);
  if (movers.some((other) => cone.meddles(other, source) || cone.meddles(source, other))) return false;
  const way = cone.wayOf(source);
  const passed = cone.passedBy(source);
  const moved = (place: Place): boolean => (wired.patch.moves ?? []).some(({ block, setting }) => samePair(place, block, setting));
  if (quantity.terms.some(({ input, amount }) => amount !== undefined && moved([input[0], amount]))) return false;
  return [...passed].every((id) => isLinearHere(wired, id, new Set(way.cables), heard));
}

const samePair = (place: Place, block: string, setting: string): boolean => place[0] === block && place[1] === setting;

/** The hand at the asked setting itself adds to it, whatever else is there. */
function isDirectHand(cone: Cone, { block, setting }: Source, { law, moved }: Quantity, wired: Wired): boolean {
  return law !== 'volts' && setting === moved?.setting.id && !cone.passing.has(block) && wired.blocks.has(block);
}

function isLinearHere(wired: Wired, id: string, onTheWay: ReadonlySet<string>, heard: Heard): boolean {
  const known = wired.blocks.get(id);
  if (!known || (wired.patch.moves ?? []).some(({ block }) => block === id)) return false;
  const { spec } = known;
  const used = spec.outputs.map((output) => placeName([id, output.id])).filter((name) => wired.from.has(name));
  if (used.some((name) => (heard.outputs.get(name)?.atRail ?? 0) > 0)) return false;
  return spec.inputs.every((input) => {
    const from = sourceOf(wired, id, input.id);
    const flows = (spec.flows ?? []).filter((flow) => flow.from.includes(input.id));
    if (!from || (flows.length > 0 && flows.every(({ linear }) => linear))) return true;
    const figures = heard.outputs.get(placeName(from));
    return !onTheWay.has(placeName([id, input.id])) && figures !== undefined && !moves(figures);
  });
}
