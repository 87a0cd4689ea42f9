import { changeBetween } from '../changeBetween.ts';
import type { Place } from '../document.ts';
import { placeName } from '../document.ts';
import { refuse } from '../refusal.ts';
import type { Command } from './command.ts';

export interface Disconnect {
  /** The inputs whose cables go. */
  readonly to: readonly Place[];
}

/** Takes cables away, named by the inputs they enter. */
export const disconnect: Command<Disconnect> = (patch, _catalogue, { to }) => {
  if (to.length === 0) return refuse('nothing-chosen', 'No cable is chosen.');
  const gone = new Set(to.map(placeName));
  const after = patch.cables.filter((cable) => !gone.delete(placeName(cable.to)));
  const [missing] = gone;
  if (missing !== undefined) return refuse('no-such-cable', `There is no cable into "${missing}".`);
  return changeBetween(patch, { ...patch, cables: after }, to.length === 1 ? 'Remove cable' : `Remove ${to.length} cables`);
};
