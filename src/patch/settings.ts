/** Values of settings, with defaults filled in. */
import type { BlockSpec, ListRecord, ListSetting, SettingSpec, SettingValue } from './blockSpec.ts';
import type { Block } from './document.ts';

/** The value of a setting as the engine will use it: the document's, else the default. */
export function settingValue(block: Block, setting: SettingSpec): SettingValue {
  return block.settings?.[setting.id] ?? setting.default;
}

export function findSetting(spec: BlockSpec, id: string): SettingSpec | undefined {
  return spec.settings.find((setting) => setting.id === id);
}

/** Do two setting values mean the same? Lists are compared record by record. */
export function sameValue(a: SettingValue, b: SettingValue): boolean {
  return a === b || (typeof a === 'object' && JSON.stringify(a) === JSON.stringify(b));
}

/** The records of a list's value, whether they are written as records or as bare values. */
export function listRecords(setting: ListSetting, value: SettingValue): readonly ListRecord[] {
  if (!Array.isArray(value)) return [];
  const field = setting.fields[0];
  return setting.bare && field ? value.map((bare) => ({ [field.id]: bare })) : value;
}

/** A list's value as documents write it; the inverse of `listRecords`. */
export function listValue(setting: ListSetting, records: readonly ListRecord[]): SettingValue {
  const field = setting.fields[0];
  return setting.bare && field ? records.map((record) => record[field.id] ?? field.default) : records;
}

/** How many numbers of the memory layout a setting takes: none where the kernel reads it elsewhere. */
export function settingWidth(setting: SettingSpec): number {
  if (setting.type === 'recording') return 0;
  return setting.type === 'list' ? setting.maximumLength * setting.fields.length : 1;
}

/**
 * A setting as the numbers that a kernel sees: choices by index, switches as 0 or 1,
 * lists record after record with the fields in spec order, filled up with defaults.
 */
export function settingNumbers(setting: SettingSpec, value: SettingValue): number[] {
  switch (setting.type) {
    case 'number':
      return [value as number];
    case 'switch':
      return [value ? 1 : 0];
    case 'choice':
      return [setting.choices.indexOf(value as string)];
    case 'recording':
      return [];
    case 'list': {
      const records = listRecords(setting, value);
      return Array.from({ length: setting.maximumLength }, (_, i) =>
        setting.fields.map((field) => Number(records[i]?.[field.id] ?? field.default)),
      ).flat();
    }
  }
}
