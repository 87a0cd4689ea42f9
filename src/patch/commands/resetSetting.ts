import { blockLabel } from '../label.ts';
import { quoted } from '../problem.ts';
import { isRefusal, refuse } from '../refusal.ts';
import { findSetting } from '../settings.ts';
import type { Command } from './command.ts';
import { findPart } from './command.ts';
import { setSetting } from './setSetting.ts';

export interface ResetSetting {
  readonly block: string;
  readonly setting: string;
}

/** Puts one setting back to its default. */
export const resetSetting: Command<ResetSetting> = (patch, catalogue, { block: id, setting: settingId }) => {
  const part = findPart(patch, catalogue, id);
  if (isRefusal(part)) return part;
  const { block, spec } = part;
  const setting = findSetting(spec, settingId);
  if (!setting) {
    return refuse(
      'no-such-setting',
      `${blockLabel(block, spec)} has no setting "${settingId}"; it has ${quoted(spec.settings.map((known) => known.id))}.`,
    );
  }
  const change = setSetting(patch, catalogue, { block: id, setting: settingId, value: setting.default });
  return isRefusal(change) ? change : { ...change, label: `Reset ${setting.title} of ${blockLabel(block, spec)}` };
};
