/** Edits that are sure to be meant, for the reasons why a patch is silent. */
import type { SettingValue } from '../../patch/blockSpec.ts';
import type { Place } from '../../patch/document.ts';
import { createGraph, reachableFrom } from '../../patch/reach.ts';
import { findSetting, listRecords, listValue, settingValue } from '../../patch/settings.ts';
import { formatValue } from '../../patch/values/format.ts';
import type { Fix } from '../finding.ts';
import { inputSpec, type KnownBlock, labelOf, type Wired } from '../wired.ts';
import { handMove } from './scene.ts';

/** Nothing where the setting is moved by hand during the take: then what it is set to counts for little. */
export function setTo(wired: Wired, known: KnownBlock, id: string, value: SettingValue, label?: string): Fix | undefined {
  const setting = findSetting(known.spec, id);
  if (!setting || handMove(wired, known, id) || settingValue(known.block, setting) === value) return undefined;
  const title = `Set "${setting.title}" of ${known.label} to ${formatValue(value, setting)}`;
  return { label: label ?? title, changes: [{ set: [known.block.id, id], value }] };
}

/** Back to the default; where that is 0 as well, all the way up. */
export function turnUp(wired: Wired, known: KnownBlock, id: string): Fix | undefined {
  const setting = findSetting(known.spec, id);
  if (setting?.type !== 'number') return undefined;
  return setTo(wired, known, id, setting.default === 0 ? setting.maximum : setting.default);
}

export function toDefault(wired: Wired, known: KnownBlock, id: string): Fix | undefined {
  const setting = findSetting(known.spec, id);
  return setting && setTo(wired, known, id, setting.default);
}

export function unplug(known: KnownBlock, input: string): Fix {
  const title = inputSpec(known.spec, input)?.title ?? input;
  return { label: `Take the cable off "${title}" of ${known.label}`, changes: [{ disconnect: [known.block.id, input] }] };
}

/** Switches fields of a list's records on: those of the first `count`. */
export function switchOn(wired: Wired, known: KnownBlock, id: string, fields: readonly string[], count: number): Fix | undefined {
  const setting = findSetting(known.spec, id);
  if (setting?.type !== 'list' || handMove(wired, known, id)) return undefined;
  const records = listRecords(setting, settingValue(known.block, setting));
  const on = (field: string): number | boolean => (setting.fields.find((each) => each.id === field)?.type === 'switch' ? true : 1);
  const next = Array.from({ length: Math.max(count, records.length) }, (_, i) => {
    const record = { ...records[i] };
    if (i < count) for (const field of fields) if (record[field] !== undefined) record[field] = on(field);
    return record;
  });
  return {
    label: `Switch the ${setting.title.toLowerCase()} of ${known.label} on`,
    changes: [{ set: [known.block.id, id], value: listValue(setting, next) }],
  };
}

/**
 * A cable into an empty input, where one output alone can be meant: the only one of the input's kind of blocks that nobody reads, or
 * else the only one of its kind that goes by the input's own name. Never one that would close a loop.
 */
export function reconnect(wired: Wired, known: KnownBlock, input: string): Fix | undefined {
  const wanted = inputSpec(known.spec, input);
  if (!wanted) return undefined;
  const behind = reachableFrom(createGraph(wired.patch), [known.block.id]);
  const others = [...wired.blocks.values()].filter(({ block, spec }) => !behind.has(block.id) && !spec.bus);
  const unread = others.filter(({ block, spec }) => spec.outputs.every((output) => !wired.from.has(`${block.id}.${output.id}`)));
  const outputsOf = (blocks: readonly KnownBlock[]) =>
    blocks.flatMap(({ block, spec }) =>
      spec.outputs.filter(({ kind }) => kind === wanted.kind).map((output): Place => [block.id, output.id]),
    );
  const lonely = outputsOf(unread);
  const named = outputsOf(others).filter(([, output]) => output === input);
  const [only] = lonely.length === 1 ? lonely : named.length === 1 && lonely.length === 0 ? named : [];
  if (!only) return undefined;
  const title = wired.blocks.get(only[0])?.spec.outputs.find(({ id }) => id === only[1])?.title ?? only[1];
  return {
    label: `Run a cable from "${title}" of ${labelOf(wired, only[0])} to "${wanted.title}" of ${known.label}`,
    changes: [{ connect: { from: only, to: [known.block.id, input] } }],
  };
}
