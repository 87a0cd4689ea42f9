import type { Catalogue, RecordingSetting } from '../blockSpec.ts';
import { changeBetween } from '../changeBetween.ts';
import type { Block, Patch, Place, Recording } from '../document.ts';
import { checkPatch } from '../file/read.ts';
import { blockLabel } from '../label.ts';
import { withoutUnused } from '../recordings.ts';
import type { Refusal } from '../refusal.ts';
import { isRefusal, refuse } from '../refusal.ts';
import { findSetting } from '../settings.ts';
import type { Command } from './command.ts';
import { findPart } from './command.ts';
import { withSetting } from './setSetting.ts';

export interface AddRecording {
  /** Block and setting that will play it. */
  readonly at: Place;
  readonly recording: Omit<Recording, 'id'>;
}

/**
 * Puts a sound file into the patch and has a block play it: one step. A file that the patch has already (the same sha256) is not
 * listed twice, and what the block played before goes if nothing else names it.
 */
export const addRecording: Command<AddRecording> = (patch, catalogue, { at, recording }) => {
  const part = findRecordingSetting(patch, catalogue, at);
  if (isRefusal(part)) return part;
  const { block, setting, label } = part;
  const list = patch.recordings ?? [];
  const known = list.find(({ sha256 }) => sha256 === recording.sha256);
  const { name, sha256, seconds } = recording;
  const entry: Recording = known ?? {
    id: recordingId(
      name,
      list.map(({ id }) => id),
    ),
    name,
    sha256,
    seconds,
  };
  const set: Patch = {
    ...patch,
    blocks: patch.blocks.map((other) => (other === block ? withSetting(block, setting.id, entry.id) : other)),
    recordings: known ? list : [...list, entry],
  };
  const after = withoutUnused(patch, set, catalogue);
  const [problem] = checkPatch({ blocks: [], cables: [], recordings: [entry] }, catalogue);
  if (problem) return refuse(problem.rule, problem.say);
  return changeBetween(patch, after, `Choose ${name} for ${label}`);
};

interface Part {
  readonly block: Block;
  readonly setting: RecordingSetting;
  readonly label: string;
}

/** The setting that plays a recording. */
export function findRecordingSetting(patch: Patch, catalogue: Catalogue, [id, settingId]: Place): Part | Refusal {
  const part = findPart(patch, catalogue, id);
  if (isRefusal(part)) return part;
  const { block, spec } = part;
  const [setting, label] = [findSetting(spec, settingId), blockLabel(block, spec)];
  if (setting?.type !== 'recording') return refuse('no-such-setting', `${label} plays no sound file by a setting "${settingId}".`);
  return { block, setting, label };
}

/** "Fog horn.wav" becomes "fog-horn", then "fog-horn2": small letters, so that file systems keep them apart. */
export function recordingId(name: string, taken: readonly string[]): string {
  const plain = name
    .replace(/\.[^.]*$/, '')
    .normalize('NFKD')
    .toLowerCase()
    .replace(/\p{M}/gu, '')
    .replace(/[^a-z0-9]+/g, '-');
  const stem =
    plain
      .replace(/^[^a-z]+/, '')
      .slice(0, 24)
      .replace(/-+$/, '') || 'sound';
  let id = stem;
  for (let n = 2; taken.some((other) => other.toLowerCase() === id); n++) id = `${stem}${n}`;
  return id;
}
