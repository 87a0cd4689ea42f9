/** Reasons that lie in a block itself: nobody plays it, its sound file is not there, its settings keep it quiet. */
import type { MuteSpec } from '../../patch/blockSpec.ts';
import { findSetting, listRecords, settingValue } from '../../patch/settings.ts';
import type { Finding } from '../finding.ts';
import { type KnownBlock, sourceOf } from '../wired.ts';
import { byHand, liveOnly, muted, noNotes, notesLate, soundFileMissing } from './causes.ts';
import { numberAt, rangeOf, type Scene } from './scene.ts';

export function ownReason(scene: Scene, known: KnownBlock, output: string): Finding | undefined {
  const { spec } = known;
  if (spec.liveInput) return liveOnly(known);
  if (spec.pressed) return byHand(known);
  if (spec.playsNotes) {
    const score = scene.wired.patch.score ?? [];
    const first = Math.min(...score.map(({ at }) => at));
    if (score.length === 0) return noNotes(known);
    if (first >= scene.seconds) return notesLate(known, scene.seconds, first);
  }
  const mute = (spec.mutes ?? []).find((each) => each.outputs.includes(output) && isMuted(scene, known, each));
  return mute ? muted(scene, known, mute) : missingFile(scene, known);
}

function isMuted(scene: Scene, known: KnownBlock, { when, noneOf, unlessPatched = [] }: MuteSpec): boolean {
  if (unlessPatched.some((id) => sourceOf(scene.wired, known.block.id, id))) return false;
  const set = (when ?? []).every(({ setting, is }) => {
    const spec = findSetting(known.spec, setting);
    if (!spec) return false;
    if (spec.type !== 'number') return settingValue(known.block, spec) === is;
    const { least, most } = rangeOf(scene, known, setting);
    return least === is && most === is;
  });
  return set && (!noneOf || hasNone(known, noneOf));
}

function hasNone(known: KnownBlock, { list, length, fields }: NonNullable<MuteSpec['noneOf']>): boolean {
  const setting = findSetting(known.spec, list);
  if (setting?.type !== 'list') return false;
  const records = listRecords(setting, settingValue(known.block, setting));
  const defaults = new Map(setting.fields.map((field) => [field.id, field.default]));
  return Array.from({ length: numberAt(known, length) }, (_, i) => records[i] ?? {}).every((record) =>
    fields.some((field) => Number(record[field] ?? defaults.get(field)) <= 0),
  );
}

function missingFile({ wired, missing }: Scene, known: KnownBlock): Finding | undefined {
  for (const setting of known.spec.settings) {
    if (setting.type !== 'recording') continue;
    const recording = wired.patch.recordings?.find(({ id }) => id === settingValue(known.block, setting));
    if (recording && missing.has(recording.sha256)) return soundFileMissing(known, setting.id, recording.name);
  }
  return undefined;
}
