import { changeBetween } from '../changeBetween.ts';
import type { Place } from '../document.ts';
import { withoutUnused } from '../recordings.ts';
import { isRefusal, refuse } from '../refusal.ts';
import { settingValue } from '../settings.ts';
import { findRecordingSetting } from './addRecording.ts';
import type { Command } from './command.ts';
import { withSetting } from './setSetting.ts';

export interface RemoveRecording {
  /** Block and setting that play it. */
  readonly at: Place;
}

/** Takes a sound file off a block, and out of the patch if nothing else names it. */
export const removeRecording: Command<RemoveRecording> = (patch, catalogue, { at }) => {
  const part = findRecordingSetting(patch, catalogue, at);
  if (isRefusal(part)) return part;
  const { block, setting, label } = part;
  const id = settingValue(block, setting);
  if (id === '') return refuse('no-such-recording', `${label} has no sound file.`);
  const name = patch.recordings?.find((recording) => recording.id === id)?.name ?? String(id);
  const blocks = patch.blocks.map((other) => (other === block ? withSetting(block, setting.id, undefined) : other));
  return changeBetween(patch, withoutUnused(patch, { ...patch, blocks }, catalogue), `Remove ${name} from ${label}`);
};
