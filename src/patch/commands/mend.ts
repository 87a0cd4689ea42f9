import type { Catalogue } from '../blockSpec.ts';
import { applyChange, type Change } from '../change.ts';
import { changeBetween } from '../changeBetween.ts';
import type { Block, Patch, VariationChange } from '../document.ts';
import { checkPatch } from '../file/read.ts';
import { isRefusal, type Refusal, refuse } from '../refusal.ts';
import type { Command } from './command.ts';
import { connect } from './connect.ts';
import { disconnect } from './disconnect.ts';
import { removeBlocks } from './removeBlocks.ts';
import { setSetting } from './setSetting.ts';

export interface Mend {
  /** Name of the undo step. */
  readonly label: string;
  readonly changes: readonly VariationChange[];
}

/** Makes several edits, one after the other, as one step; the first that cannot be made refuses them all. */
export const mend: Command<Mend> = (patch, catalogue, { label, changes }) => {
  let after = patch;
  for (const each of changes) {
    const outcome = changeOf(after, catalogue, each);
    if (isRefusal(outcome)) return outcome;
    after = applyChange(after, outcome);
  }
  return changeBetween(patch, after, label);
};

function changeOf(patch: Patch, catalogue: Catalogue, change: VariationChange): Change | Refusal {
  if ('set' in change) return setSetting(patch, catalogue, { block: change.set[0], setting: change.set[1], value: change.value });
  if ('connect' in change) return connect(patch, catalogue, change.connect);
  if ('disconnect' in change) return disconnect(patch, catalogue, { to: [change.disconnect] });
  if ('remove' in change) return removeBlocks(patch, catalogue, { ids: [change.remove] });
  return added(patch, catalogue, change.add);
}

/** A block as it is written, with its id: what the file would refuse is refused here. */
function added(patch: Patch, catalogue: Catalogue, block: Block): Change | Refusal {
  const after: Patch = { ...patch, blocks: [...patch.blocks, block] };
  const [problem] = checkPatch(after, catalogue);
  return problem ? refuse(problem.rule, problem.say) : changeBetween(patch, after, '');
}
