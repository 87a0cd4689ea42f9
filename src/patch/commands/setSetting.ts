import type { SettingValue } from '../blockSpec.ts';
import { changeBetween } from '../changeBetween.ts';
import { checkSetting } from '../checkSetting.ts';
import type { Block } from '../document.ts';
import { blockLabel } from '../label.ts';
import { quoted } from '../problem.ts';
import { noRecording } from '../recordings.ts';
import { isRefusal, refuse } from '../refusal.ts';
import { findSetting, sameValue } from '../settings.ts';
import type { Command } from './command.ts';
import { findPart } from './command.ts';

export interface SetSetting {
  readonly block: string;
  readonly setting: string;
  readonly value: SettingValue;
}

/** Sets one setting of a block. The default is not written down: the document keeps what differs. */
export const setSetting: Command<SetSetting> = (patch, catalogue, args) => {
  const part = findPart(patch, catalogue, args.block);
  if (isRefusal(part)) return part;
  const { block, spec } = part;
  const setting = findSetting(spec, args.setting);
  if (!setting) {
    return refuse(
      'no-such-setting',
      `${blockLabel(block, spec)} has no setting "${args.setting}"; it has ${quoted(spec.settings.map(({ id }) => id))}.`,
    );
  }
  const [problem] = checkSetting(setting, args.value, setting.id);
  if (problem) return refuse(problem.rule, problem.say);
  if (setting.type === 'recording' && args.value !== '') {
    const ids = (patch.recordings ?? []).map(({ id }) => id);
    if (!ids.includes(String(args.value))) return refuse('no-such-recording', noRecording(String(args.value), ids));
  }
  const value = sameValue(args.value, setting.default) ? undefined : args.value;
  const after = patch.blocks.map((other) => (other === block ? withSetting(block, setting.id, value) : other));
  return changeBetween(patch, { ...patch, blocks: after }, `Set ${setting.title} of ${blockLabel(block, spec)}`);
};

/** The block with one setting written, or left out if undefined. */
export function withSetting(block: Block, id: string, value: SettingValue | undefined): Block {
  const { settings, ...rest } = block;
  const { [id]: _old, ...others } = settings ?? {};
  // Written in place, so that the order in the file stays.
  const next = value === undefined ? others : { ...settings, [id]: value };
  return Object.keys(next).length ? { ...rest, settings: next } : rest;
}
